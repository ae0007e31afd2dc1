#include "draw/ribbon.h"

#include "draw/measure.h"
#include "draw/spread.h"

#include <math.h>

#define ROW_LEAST 2.35 // heights in units, where letters have size 1
#define ROW_NUMERALS 3.15
#define ROW_MOST 6.0
#define NUMERALS_FROM 0.84 // least size of letters with numerals, in units
#define SIZE_MOST 1.9
#define SIZE_STEP 0.95   // from one size that is tried to the next
#define SYMBOL 1.15      // size of symbols, in sizes of letters
#define BAR_LEAST 2.9    // widths, where letters have size 1
#define BAR_FRONT 0.8    // clear of strokes and landings
#define GUTTER 2.6       // for a section's name, in units,
#define GUTTER_MOST 7.0  // and for a long one,
#define GUTTER_SHARE 0.2 // but no more of the box
#define NAME 0.9         // size of names: of symbols, or in units if they are long
#define MARGIN 0.7       // for what stands on the line's ends
#define BARS_KNOWN 512u  // bars whose widths are found out once

WayTick way_ribbon_bar_length(const WayTimeline* t, uint32_t bar) {
  return way_metre_bar(t->bars[bar].metre);
}

static double least(double a, double b) { return a < b ? a : b; }

static uint32_t fewer(uint32_t a, uint32_t b) { return a < b ? a : b; }

static uint32_t section_end(const WayTimeline* t, uint32_t section) {
  return section + 1 < t->n_sections ? t->sections[section + 1].first_bar : t->n_bars;
}

/// First span that begins at or after a tick.
static uint32_t span_from(const WayTimeline* t, WayTick tick) {
  uint32_t low = 0, high = t->n_spans;
  while (low < high) {
    const uint32_t mid = low + (high - low) / 2;
    if (t->spans[mid].start < tick)
      low = mid + 1;
    else
      high = mid;
  }
  return low;
}

// ---- Which bars stand in which row.

/// The width a bar wants for its chords, where letters have size 1.
static double bar_wants(const WayTimeline* t, uint32_t bar) {
  const WayTick from = t->bars[bar].start, to = way_timeline_bar_end(t, bar);
  double width = BAR_FRONT;
  for (uint32_t i = span_from(t, from); i < t->n_spans && t->spans[i].start < to; ++i)
    width += SYMBOL * way_measure_symbol(&way_timeline_harmony(t, i)->chord);
  return width > BAR_LEAST ? width : BAR_LEAST;
}

/// What the first bars of a form want.
typedef struct {
  const WayTimeline* t;
  float bars[BARS_KNOWN];
} Wants;

static Wants find_wants(const WayTimeline* t) {
  Wants w;
  w.t = t;
  for (uint32_t i = 0; i < fewer(t->n_bars, BARS_KNOWN); ++i)
    w.bars[i] = (float)bar_wants(t, i);
  return w;
}

static double wants_at(const Wants* w, uint32_t bar) {
  return bar < BARS_KNOWN ? (double)w->bars[bar] : bar_wants(w->t, bar);
}

/// Goes through a form row by row.
typedef struct {
  const Wants* wants;
  uint32_t per_row; ///< Bars in a row, at most
  double room;      ///< For bars, where letters have size 1
  WayRibbonRow row; ///< The row now
  uint32_t group;   ///< Bars in a row like this, if it is full
} Walk;

/// Whether some bars have room in one row.
static bool fit(const Walk* w, uint32_t bar, uint32_t n) {
  double left = w->room;
  for (uint32_t i = 0; i < n; ++i) left -= wants_at(w->wants, bar + i);
  return left >= 0;
}

/// Go on to the next row; false behind the last.  A row holds `per_row` bars, or half
/// of them as often as its chords ask for, and begins where such groups of bars do.
static bool next_row(Walk* w) {
  WayRibbonRow* const row = &w->row;
  const WayTimeline* const t = w->wants->t;
  const uint32_t bar = row->bar + row->n;
  if (bar >= t->n_bars) return false;
  row->bar = bar;
  row->opens = !bar || bar == section_end(t, row->section);
  if (row->opens && bar) ++row->section;
  const uint32_t in_section = bar - t->sections[row->section].first_bar;
  const uint32_t left = section_end(t, row->section) - bar;
  w->group = w->per_row;
  while (w->group > 1 && (in_section % w->group || !fit(w, bar, fewer(w->group, left))))
    w->group /= 2;
  row->n = fewer(w->group, left);
  return true;
}

/// Whether the whole form stands in some rows at most.
static bool stands_in(const Wants* wants, uint32_t per_row, double room, double rows) {
  Walk w = {.wants = wants, .per_row = per_row, .room = room};
  uint32_t n = 0;
  while (n <= rows && next_row(&w)) ++n;
  return n <= rows;
}

/// Choose the size of letters, and bars a row: the largest that shows the whole form.
static double choose(const Wants* wants, double unit, double width, double height,
                     uint32_t* per_row) {
  double size = SIZE_MOST * unit;
  while (size >= unit) {
    const double rows =
        least(floor(height / (ROW_LEAST * size) + 1e-9), WAY_RIBBON_ROWS_MAX);
    for (*per_row = 4; *per_row <= WAY_RIBBON_BARS_MAX; *per_row *= 2)
      if (stands_in(wants, *per_row, width / size, rows)) return size;
    size *= SIZE_STEP;
  }
  *per_row = WAY_RIBBON_BARS_MAX;
  return unit;
}

/// Share the width among the bars of a row.
static void share(WayRibbonLayout* l, const Walk* w, double size, WayRibbonRow* row) {
  double widths[WAY_RIBBON_BARS_MAX];
  for (uint32_t i = 0; i < row->n; ++i)
    widths[i] = size * wants_at(w->wants, row->bar + i);
  way_spread_row(widths, row->n, w->group, l->box.width - l->gutter, widths);
  row->x[0] = l->box.x + l->gutter;
  for (uint32_t i = 0; i < row->n; ++i) row->x[i + 1] = row->x[i] + widths[i];
}

/// List the rows shown: that of the bar, with one row before it where there are three.
static void fill_rows(WayRibbonLayout* l, const Wants* wants, double size,
                      uint32_t bar) {
  const Walk top = {
      .wants = wants, .per_row = l->per_row, .room = (l->box.width - l->gutter) / size};
  uint32_t here = 0;
  Walk w = top;
  for (l->total = 0; next_row(&w); ++l->total)
    if (w.row.bar <= bar) here = l->total;
  const double most = least(l->box.height / (ROW_LEAST * size), WAY_RIBBON_ROWS_MAX);
  l->n = fewer(most < 1 ? 1 : (uint32_t)(most + 1e-9), l->total);
  const uint32_t before = l->n > 2 ? 1 : 0;
  l->first = here > before ? here - before : 0;
  if (l->first > l->total - l->n) l->first = l->total - l->n;
  w = top;
  for (uint32_t r = 0; r < l->first + l->n && next_row(&w); ++r) {
    if (r < l->first) continue;
    l->rows[r - l->first] = w.row;
    share(l, &w, size, &l->rows[r - l->first]);
  }
}

// ---- Sizes.

/// The width of the longest name of a section, in sizes of its letters.
static double longest_name(const WayTimeline* t) {
  double most = 0;
  for (uint32_t s = 0; s < t->n_sections; ++s) {
    const double width = way_measure_text(t->sections[s].name);
    if (width > most) most = width;
  }
  return most;
}

static double gutter(double name, double unit, double width) {
  if (!(name > 0)) return MARGIN * unit;
  const double wants = (NAME * name + 2 * MARGIN) * unit;
  const double most = least(GUTTER_MOST * unit, GUTTER_SHARE * width);
  return fmax(least(wants, most), GUTTER * unit);
}

/// Set what stands on a row: numerals, too, if they can be read.
static void set_letters(WayRibbonLayout* l, double unit, double most) {
  const bool numerals = l->row / ROW_NUMERALS >= NUMERALS_FROM * unit;
  const double size = least(l->row / (numerals ? ROW_NUMERALS : ROW_LEAST), most);
  l->symbol = SYMBOL * size;
  l->symbol_up = 0.92 * size;
  l->numeral = numerals ? 0.74 * size : 0;
  l->numeral_down = 0.84 * size;
  l->token = 0.6 * size;
  l->front = BAR_FRONT * size;
  // The letters and the line, centred in the row.
  const double above = l->symbol_up + 0.55 * l->symbol;
  const double below = numerals ? l->numeral_down + 0.5 * l->numeral : l->token;
  l->line = (l->row - above - below) / 2 + above;
}

WayRibbonLayout way_ribbon_layout(const WayTimeline* t, uint32_t bar, double unit,
                                  WayBox box) {
  WayRibbonLayout l = {.box = box};
  const double name = longest_name(t);
  l.gutter = gutter(name, unit, box.width);
  const Wants wants = find_wants(t);
  const double size =
      choose(&wants, unit, box.width - l.gutter, box.height, &l.per_row);
  fill_rows(&l, &wants, size, bar);
  l.row = least(box.height / l.n, ROW_MOST * unit);
  set_letters(&l, unit, size);
  const double room = name > 0 ? (l.gutter - 2 * MARGIN * unit) / name : 0;
  l.name = least(NAME * l.symbol, fmax(room, NAME * unit));
  return l;
}

/// The row shown that holds a bar; NULL if there is none.
static const WayRibbonRow* row_of(const WayRibbonLayout* l, uint32_t bar) {
  for (uint32_t r = 0; r < l->n; ++r)
    if (bar >= l->rows[r].bar && bar < l->rows[r].bar + l->rows[r].n)
      return &l->rows[r];
  return NULL;
}

WayBox way_ribbon_bar(const WayRibbonLayout* l, uint32_t bar) {
  const WayRibbonRow* const row = row_of(l, bar);
  if (!row) return (WayBox){0};
  const double* const x = &row->x[bar - row->bar];
  return (WayBox){x[0], l->box.y + (double)(row - l->rows) * l->row, x[1] - x[0],
                  l->row};
}

WayRibbonPoint way_ribbon_point(const WayRibbonLayout* l, const WayTimeline* t,
                                WayTick tick) {
  const uint32_t bar = way_timeline_at(t, tick).bar;
  const WayBox box = way_ribbon_bar(l, bar);
  if (!(box.width > 0)) return (WayRibbonPoint){0};
  const double in =
      (double)(tick - t->bars[bar].start) / (double)way_ribbon_bar_length(t, bar);
  const uint32_t row = (uint32_t)((box.y - l->box.y) / l->row + 0.5);
  return (WayRibbonPoint){true, row, box.x + in * box.width, box.y + l->line};
}
