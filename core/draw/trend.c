#include "draw/trend.h"

#include "draw/label.h"
#include "draw/theme.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// Points.
#define WIDTH 860.0
#define MARGIN 36.0
#define TOP 150.0 // of the first block
#define BLOCK_HEAD 42.0
#define PANEL_W 182.0
#define PANEL_H 70.0
#define PAD 7.0 // between the edge of a panel and its line
#define PANEL_GAP_X 20.0
#define PANEL_GAP_Y 32.0
#define BLOCK_GAP 18.0
#define PER_ROW 4u
#define DAY 9.35 // from one day of the strip to the next
#define TURN 6.283185307179586

/// The takes of one tune.
typedef struct {
  const WayLogTake* takes;
  uint32_t n;
} Tune;

typedef struct {
  const WayLogTake* takes;
  uint32_t n;
  const WayDay* days;
  uint32_t n_days;
} Log;

static const WayTheme* paper(void) { return way_theme(WAY_THEME_PRINT); }

static Tune tune_at(const Log* log, uint32_t first) {
  Tune t = {&log->takes[first], 1};
  while (first + t.n < log->n && !strcmp(t.takes[t.n].tune, t.takes->tune)) ++t.n;
  return t;
}

/// The takes of a tune that are drawn.
static Tune latest(Tune t) {
  if (t.n <= WAY_TREND_TAKES) return t;
  return (Tune){t.takes + t.n - WAY_TREND_TAKES, WAY_TREND_TAKES};
}

static bool has(Tune t, WayMeasure m) {
  double value;
  for (uint32_t i = 0; i < t.n; ++i)
    if (way_measure(&t.takes[i], m, &value)) return true;
  return false;
}

static unsigned panels_of(Tune t) {
  unsigned n = 0;
  for (unsigned m = 0; m < WAY_MEASURE_COUNT; ++m) n += has(t, (WayMeasure)m);
  return n;
}

static double block_height(Tune t) {
  const unsigned rows = (panels_of(t) + PER_ROW - 1) / PER_ROW;
  return BLOCK_HEAD + rows * (PANEL_H + PANEL_GAP_Y) + BLOCK_GAP;
}

// ---- One measure.

/// Greatest value of the axis: 1 for shares, else the next round number.
static double axis_top(Tune t, WayMeasure m) {
  double most = 0, value;
  if (way_measure_is_share(m)) return 1;
  for (uint32_t i = 0; i < t.n; ++i)
    if (way_measure(&t.takes[i], m, &value) && value > most) most = value;
  if (most <= 0) return 1;
  double step = pow(10, floor(log10(most)));
  if (most <= 2 * step) step /= 5;
  return ceil(most / step) * step;
}

static void value_text(WayMeasure m, double value, char text[24]) {
  if (way_measure_is_share(m))
    snprintf(text, 24, "%.0f %%", 100 * value);
  else
    snprintf(text, 24, value < 1 ? "%.2f" : "%.1f", value);
}

/// Where a part of the axis's top stands.
static double height_of(double y, double part) {
  return y + PAD + (PANEL_H - 2 * PAD) * (1 - part);
}

static void draw_published(cairo_t* cr, double x, double y, WayMeasure m) {
  static const double dashes[] = {3, 3};
  const double share = way_measure_published(m);
  if (!(share > 0)) return;
  const double at = height_of(y, share);
  cairo_save(cr);
  way_chip_source(cr, paper()->soft);
  cairo_set_line_width(cr, 0.8);
  cairo_set_dash(cr, dashes, 2, 0);
  cairo_move_to(cr, x, at);
  cairo_line_to(cr, x + PANEL_W, at);
  cairo_stroke(cr);
  cairo_restore(cr);
}

static void dot(cairo_t* cr, double x, double y, double radius) {
  cairo_new_sub_path(cr);
  cairo_arc(cr, x, y, radius, 0, TURN);
  cairo_fill(cr);
}

static void draw_line(cairo_t* cr, double x, double y, Tune t, WayMeasure m) {
  const double top = axis_top(t, m),
               step = t.n > 1 ? (PANEL_W - 2 * PAD) / (t.n - 1) : 0;
  double value, last = 0, last_x = 0, last_y = 0;
  bool begun = false;
  way_chip_source(cr, paper()->soft);
  cairo_set_line_width(cr, 1.4);
  cairo_new_path(cr);
  for (uint32_t i = 0; i < t.n; ++i) {
    if (!way_measure(&t.takes[i], m, &value)) continue;
    last_x = x + PAD + step * i;
    last_y = height_of(y, value / top);
    last = value;
    cairo_line_to(cr, last_x, last_y);
    begun = true;
  }
  cairo_stroke(cr);
  for (uint32_t i = 0; i < t.n; ++i)
    if (way_measure(&t.takes[i], m, &value))
      dot(cr, x + PAD + step * i, height_of(y, value / top), 2.4);
  if (!begun) return;
  way_chip_source(cr, paper()->ink);
  dot(cr, last_x, last_y, 4);
  char text[24];
  value_text(m, last, text);
  way_label(cr, x + PANEL_W, y - 10, &(WayLabelStyle){12, true, WAY_ALIGN_RIGHT, 0},
            text);
}

static void draw_panel(cairo_t* cr, double x, double y, Tune t, WayMeasure m) {
  way_chip_source(cr, paper()->band);
  cairo_rectangle(cr, x, y, PANEL_W, PANEL_H);
  cairo_fill(cr);
  way_chip_source(cr, paper()->soft);
  way_label(cr, x, y - 10, &(WayLabelStyle){9.2, false, WAY_ALIGN_LEFT, PANEL_W - 46},
            way_measure_label(m));
  draw_published(cr, x, y, m);
  draw_line(cr, x, y, t, m);
}

// ---- Blocks.

/// A key as it is stored, its tonic with music signs.
static void write_key(const char* stored, char* text, size_t room) {
  char tonic[8];
  WayOut out = way_out(tonic, sizeof(tonic));
  const size_t n = strcspn(stored, " ");
  way_out_text(&out, (WayText){stored, n < sizeof(tonic) ? n : 0});
  out = way_out(text, room);
  way_label_signs(tonic, &out);
  way_out_str(&out, stored + (n < sizeof(tonic) ? n : 0));
}

static void draw_tune(cairo_t* cr, double y, Tune all) {
  const Tune t = latest(all);
  char text[240], key[96];
  way_chip_source(cr, paper()->ink);
  const double width =
      way_label(cr, MARGIN, y, &(WayLabelStyle){18, true, WAY_ALIGN_LEFT, WIDTH / 2},
                t.takes->tune);
  write_key(t.takes->key, key, sizeof(key));
  snprintf(text, sizeof(text), "%s   %u take%s, %s%s%s", key, all.n,
           all.n == 1 ? "" : "s", t.takes[0].day.text, t.n > 1 ? " to " : "",
           t.n > 1 ? t.takes[t.n - 1].day.text : "");
  way_chip_source(cr, paper()->soft);
  way_label(cr, MARGIN + width + 14, y + 1,
            &(WayLabelStyle){12, false, WAY_ALIGN_LEFT, WIDTH / 2 - 2 * MARGIN}, text);
  unsigned place = 0;
  for (unsigned m = 0; m < WAY_MEASURE_COUNT; ++m) {
    if (!has(t, (WayMeasure)m)) continue;
    draw_panel(cr, MARGIN + (place % PER_ROW) * (PANEL_W + PANEL_GAP_X),
               y + BLOCK_HEAD + (place / PER_ROW) * (PANEL_H + PANEL_GAP_Y), t,
               (WayMeasure)m);
    ++place;
  }
}

/// The strip of days: a disc for each with takes, a ring for each without.
static void draw_days(cairo_t* cr, const Log* log) {
  const WayDay last = log->days[log->n_days - 1];
  const double y = 104;
  for (uint32_t back = 0; back < WAY_TREND_DAYS; ++back) {
    const double x = WIDTH - MARGIN - DAY * (back + 0.5);
    way_chip_source(cr, paper()->hair);
    dot(cr, x, y, 1.2);
  }
  way_chip_source(cr, paper()->ink);
  for (uint32_t i = log->n_days; i-- > 0;) {
    const int64_t back = way_days_between(log->days[i], last);
    if (back >= (int64_t)WAY_TREND_DAYS) break;
    dot(cr, WIDTH - MARGIN - DAY * ((double)back + 0.5), y, 3.8);
  }
  const WayLabelStyle style = {11, false, WAY_ALIGN_LEFT, 0};
  way_chip_source(cr, paper()->soft);
  way_label(cr, MARGIN, y + 18, &style, "twelve weeks, a dot for each day");
  way_label(cr, WIDTH - MARGIN, y + 18, &(WayLabelStyle){11, false, WAY_ALIGN_RIGHT, 0},
            last.text);
}

static void draw_head(cairo_t* cr, const Log* log) {
  char text[160];
  uint32_t row = 0;
  const uint32_t longest = way_days_in_a_row(log->days, log->n_days, &row);
  way_chip_source(cr, paper()->ink);
  way_label(cr, MARGIN, 44, &(WayLabelStyle){24, true, WAY_ALIGN_LEFT, 0},
            "Practice log");
  snprintf(text, sizeof(text),
           "%u take%s on %u day%s; %u day%s in a row up to the last, longest row %u",
           log->n, log->n == 1 ? "" : "s", log->n_days, log->n_days == 1 ? "" : "s",
           row, row == 1 ? "" : "s", longest);
  way_chip_source(cr, paper()->soft);
  way_label(cr, MARGIN, 72, &(WayLabelStyle){13, false, WAY_ALIGN_LEFT, 0}, text);
  way_label(cr, WIDTH - MARGIN, 44, &(WayLabelStyle){11, false, WAY_ALIGN_RIGHT, 0},
            "shares from 0 % at the bottom to 100 %; dashed: in published jazz solos");
}

static void draw(cairo_t* cr, uint32_t page, const void* what) {
  const Log* const log = what;
  (void)page;
  if (!log->n) {
    way_chip_source(cr, paper()->ink);
    way_label(cr, MARGIN, 44, &(WayLabelStyle){24, true, WAY_ALIGN_LEFT, 0},
              "Practice log: no takes yet");
    return;
  }
  draw_head(cr, log);
  draw_days(cr, log);
  double y = TOP + 8;
  for (uint32_t i = 0; i < log->n;) {
    const Tune t = tune_at(log, i);
    draw_tune(cr, y, t);
    y += block_height(latest(t));
    i += t.n;
  }
}

WayStatus way_trend(const WayLogTake* takes, uint32_t n, const WayDay* days,
                    uint32_t n_days, WayCanvasKind kind, char** bytes, size_t* size) {
  const Log log = {takes, n_days ? n : 0, days, n_days};
  double height = TOP;
  for (uint32_t i = 0; i < log.n;) {
    const Tune t = tune_at(&log, i);
    height += block_height(latest(t));
    i += t.n;
  }
  const WayCanvas canvas = {WIDTH, height, 1, "Practice log", draw, &log};
  return way_canvas_write(&canvas, kind, bytes, size);
}
