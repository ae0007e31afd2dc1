#include "draw/take_matrix.h"

#include "draw/label.h"
#include "draw/theme.h"
#include "theory/chord_write.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define TURN 6.283185307179586

// ---- Counting.

void way_matrix_free(WayMatrix* matrix) { free(matrix->rows); }

/// Leave out what is empty, and put chords in the order they first arrive in.
static void compact(const WayReview* r, WayMatrix* m, const bool* used, uint32_t* place,
                    WayMatrixRow* rows) {
  const WayTimeline* const t = r->timeline;
  for (uint32_t h = 0; h < t->n_harmonies; ++h) place[h] = UINT32_MAX;
  for (uint32_t s = 0; s < t->n_spans; ++s) {
    const uint32_t h = t->spans[s].harmony;
    if (!used[h] || place[h] != UINT32_MAX) continue;
    place[h] = m->n;
    rows[m->n++].harmony = h;
  }
}

static void count(const WayReview* r, const uint32_t* place, WayMatrix* m) {
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const uint32_t h = r->notes[i].harmony;
    if (h == WAY_NO_HARMONY || place[h] == UINT32_MAX) continue;
    uint32_t* const cell = &m->rows[place[h]].notes[r->notes[i].role.interval];
    if (++*cell > m->most) m->most = *cell;
  }
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const WayLandingSeen* const l = &r->landings[i];
    const uint32_t h = r->timeline->spans[l->span].harmony;
    if (l->note != WAY_NO_NOTE && place[h] != UINT32_MAX)
      ++m->rows[place[h]].landed[l->role.interval];
  }
}

WayStatus way_matrix_new(const WayReview* r, WayMatrix* out) {
  const WayTimeline* const t = r->timeline;
  bool* const used = calloc(t->n_harmonies + 1, sizeof(*used));
  uint32_t* const place = calloc(t->n_harmonies + 1, sizeof(*place));
  WayMatrixRow* const rows = calloc(t->n_harmonies + 1, sizeof(*rows));
  WayStatus st = WAY_ERR_NO_MEMORY;
  if (used && place && rows) {
    for (uint32_t i = 0; i < r->take->n; ++i)
      if (r->notes[i].harmony != WAY_NO_HARMONY &&
          !way_chord_is_none(&t->harmonies[r->notes[i].harmony].chord))
        used[r->notes[i].harmony] = true;
    for (uint32_t i = 0; i < r->n_landings; ++i)
      used[t->spans[r->landings[i].span].harmony] = true;
    WayMatrix m = {.most = 1, .rows = rows};
    compact(r, &m, used, place, rows);
    count(r, place, &m);
    *out = m;
    st = WAY_OK;
  }
  free(used);
  free(place);
  if (st) free(rows);
  return st;
}

// ---- Drawing.

/// What a column may hold, from the root up.
static const char* const columns[12] = {"R",      "♭9", "9",      "♭3 ♯9", "3",  "11",
                                        "♯11 ♭5", "5",  "♭13 ♯5", "13 6",  "♭7", "7"};

/// Width of the chord symbols' column, in rows' heights.
#define NAMES 4.2

static uint32_t shown(const WayMatrix* m, const WayMatrixFrame* f) {
  return m->n < f->most_rows ? m->n : f->most_rows;
}

double way_matrix_height(const WayMatrix* m, const WayMatrixFrame* f) {
  return f->row * (1.2 + shown(m, f) + (m->n > f->most_rows));
}

typedef struct {
  cairo_t* cr;
  const WayTheme* theme;
  const WayMatrixFrame* f;
  double left, column; // of the first column; width of each
} Pen;

static void draw_cell(const Pen* p, double x, double y, WayRole role, uint32_t notes,
                      uint32_t landed, uint32_t most) {
  const double row = p->f->row;
  const double radius = row * (0.14 + 0.24 * sqrt((double)notes / most));
  x -= 0.24 * p->column;
  if (notes) way_chip_dot(p->cr, x, y, radius, role);
  if (landed) {
    cairo_new_sub_path(p->cr);
    cairo_arc(p->cr, x, y, (notes ? radius : 0.2 * row) + 0.1 * row, 0, TURN);
    way_chip_source(p->cr, p->theme->ink);
    cairo_set_line_width(p->cr, 0.08 * row);
    cairo_stroke(p->cr);
  }
  char text[24];
  snprintf(text, sizeof(text), "%u", notes);
  WayLabelStyle style = {0.58 * row, true, WAY_ALIGN_LEFT, 0};
  way_chip_source(p->cr, p->theme->ink);
  double at = x + 0.52 * row;
  if (notes) at += way_label(p->cr, at, y, &style, text);
  if (!landed) return;
  snprintf(text, sizeof(text), "(%u)", landed);
  style = (WayLabelStyle){0.5 * row, false, WAY_ALIGN_LEFT, 0};
  way_chip_source(p->cr, p->theme->soft);
  way_label(p->cr, at + 0.06 * row, y, &style, text);
}

static void draw_row(const Pen* p, const WayHarmony* h, const WayMatrixRow* r, double y,
                     uint32_t most) {
  const double row = p->f->row;
  char symbol[WAY_SYMBOL_MAX];
  WayOut out = way_out(symbol, sizeof(symbol));
  way_chord_write(&h->chord, &out);
  way_chip_source(p->cr, p->theme->ink);
  way_label_symbol(
      p->cr, p->f->x, y,
      &(WayLabelStyle){0.74 * row, true, WAY_ALIGN_LEFT, p->left - p->f->x - 0.4 * row},
      symbol);
  const WayPc root = way_spelling_pc(h->chord.root);
  const WayPcSet basic = way_chord_basic_pcs(&h->chord);
  for (int up = 0; up < 12; ++up) {
    const double x = p->left + p->column * up;
    if (!way_pcs_has(basic, way_pc(root + up))) continue;
    way_chip_source(p->cr, p->theme->band);
    cairo_rectangle(p->cr, x + 1, y - 0.45 * row, p->column - 2, 0.9 * row);
    cairo_fill(p->cr);
  }
  for (int up = 0; up < 12; ++up)
    if (r->notes[up] || r->landed[up])
      draw_cell(p, p->left + p->column * (up + 0.5), y,
                (WayRole)way_harmony_role(h, root + up).role, r->notes[up],
                r->landed[up], most);
}

void way_matrix_draw(cairo_t* cr, const WayReview* review, const WayMatrix* m,
                     const WayMatrixFrame* f) {
  Pen p = {cr, way_theme(WAY_THEME_PRINT), f, f->x + NAMES * f->row, 0};
  p.column = (f->width - NAMES * f->row) / 12;
  double y = f->y + 0.5 * f->row;
  const WayLabelStyle head = {0.56 * f->row, false, WAY_ALIGN_CENTRE, p.column - 2};
  way_chip_source(cr, p.theme->soft);
  for (int up = 0; up < 12; ++up)
    way_label(cr, p.left + p.column * (up + 0.5), y, &head, columns[up]);
  y += 1.2 * f->row;
  for (uint32_t i = 0; i < shown(m, f); ++i, y += f->row)
    draw_row(&p, &review->timeline->harmonies[m->rows[i].harmony], &m->rows[i], y,
             m->most);
  if (m->n <= f->most_rows) return;
  char text[48];
  snprintf(text, sizeof(text), "and %u chords more", m->n - f->most_rows);
  way_chip_source(cr, p.theme->soft);
  way_label(cr, f->x, y, &(WayLabelStyle){0.6 * f->row, false, WAY_ALIGN_LEFT, 0},
            text);
}

// ---- A picture of its own.

#define MARGIN 36.0
#define TITLE 86.0
#define WIDTH 860.0
#define ROW 24.0
#define FOOT 20.0

/// What the signs mean.
static void draw_legend(cairo_t* cr, double x, double y) {
  static const char* const roles[WAY_ROLE_COUNT] = {"chord tone", "scale tone",
                                                    "chromatic"};
  const WayTheme* const theme = way_theme(WAY_THEME_PRINT);
  const WayLabelStyle style = {11, false, WAY_ALIGN_LEFT, 0};
  const double radius = 0.2 * ROW, after = 0.5 * ROW, gap = 1.1 * ROW;
  x += radius;
  for (int role = 0; role < WAY_ROLE_COUNT; ++role) {
    way_chip_dot(cr, x, y, radius, (WayRole)role);
    way_chip_source(cr, theme->soft);
    x += after + way_label(cr, x + after, y, &style, roles[role]) + gap;
  }
  cairo_new_sub_path(cr);
  cairo_arc(cr, x, y, 0.3 * ROW, 0, TURN);
  way_chip_source(cr, theme->ink);
  cairo_set_line_width(cr, 0.08 * ROW);
  cairo_stroke(cr);
  way_chip_source(cr, theme->soft);
  x += after + way_label(cr, x + after, y, &style, "landed on") + gap;
  way_chip_source(cr, theme->band);
  cairo_rectangle(cr, x - after, y - 0.35 * ROW, 1.4 * ROW, 0.7 * ROW);
  cairo_fill(cr);
  way_chip_source(cr, theme->soft);
  way_label(cr, x + 1.2 * ROW, y, &style, "basic tones of the chord");
}

typedef struct {
  const WayReview* review;
  const WayMatrix* matrix;
  const WayMatrixFrame* frame;
  const char *title, *name;
} Picture;

static void draw(cairo_t* cr, uint32_t page, const void* what) {
  const Picture* const p = what;
  const WayTheme* const theme = way_theme(WAY_THEME_PRINT);
  char text[256];
  (void)page;
  way_chip_source(cr, theme->ink);
  way_label(cr, MARGIN, 36, &(WayLabelStyle){22, true, WAY_ALIGN_LEFT, 500},
            *p->title ? p->title : "A take");
  snprintf(text, sizeof(text),
           "%s \u00B7 degrees by chord: notes, and in brackets those "
           "that a chord landed on",
           p->name);
  way_chip_source(cr, theme->soft);
  way_label(cr, MARGIN, 60, &(WayLabelStyle){12, false, WAY_ALIGN_LEFT, 780}, text);
  way_matrix_draw(cr, p->review, p->matrix, p->frame);
  draw_legend(cr, MARGIN, p->frame->y + way_matrix_height(p->matrix, p->frame) + FOOT);
}

WayStatus way_take_matrix(const WayReview* review, const char* title, const char* name,
                          WayCanvasKind kind, char** bytes, size_t* size) {
  WayMatrix matrix;
  WayStatus st = way_matrix_new(review, &matrix);
  if (st) return st;
  const WayMatrixFrame frame = {MARGIN, TITLE, WIDTH - 2 * MARGIN, ROW, UINT32_MAX};
  const Picture picture = {review, &matrix, &frame, title, name};
  const WayCanvas canvas = {
      WIDTH, TITLE + way_matrix_height(&matrix, &frame) + FOOT + MARGIN,
      1,     title,
      draw,  &picture};
  st = way_canvas_write(&canvas, kind, bytes, size);
  way_matrix_free(&matrix);
  return st;
}
