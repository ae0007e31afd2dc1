#include "draw/ribbon_paint.h"

#include "draw/label.h"
#include "theory/chord_write.h"
#include "theory/numeral.h"

#include <math.h>

#define TURN 6.283185307179586
#define HEAVY 0.34 // a heavy line, in radii of tokens

static void paint_here(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                       uint32_t bar) {
  const WayBox b = way_box_inset(way_ribbon_bar(l, bar), 0.5);
  if (!(b.width > 0)) return;
  way_chip_source(cr, theme->band);
  cairo_rectangle(cr, b.x, b.y, b.width, b.height);
  cairo_fill(cr);
}

/// The way through the bar up to the place: heavy.
static void paint_way(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                      const WayTimeline* t, WayTick tick, bool rolling) {
  const WayRibbonPoint p = way_ribbon_point(l, t, tick);
  if (!p.shown) return;
  way_chip_source(cr, rolling ? theme->ink : theme->soft);
  cairo_set_line_width(cr, HEAVY * l->token * theme->weight);
  cairo_move_to(cr, way_ribbon_bar(l, way_timeline_at(t, tick).bar).x, p.y);
  cairo_line_to(cr, round(p.x), p.y); // it moves by whole pixels
  cairo_stroke(cr);
}

/// The place: a stroke across the line.
static void paint_marker(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                         const WayTimeline* t, WayTick tick) {
  const WayRibbonPoint p = way_ribbon_point(l, t, tick);
  if (!p.shown) return;
  const double x = round(p.x), up = 0.8 * l->token;
  way_chip_source(cr, theme->ink);
  cairo_set_line_width(cr, HEAVY * l->token * theme->weight);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
  cairo_move_to(cr, x, p.y - up);
  cairo_line_to(cr, x, p.y + up);
  cairo_stroke(cr);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
}

/// The line of one row, with a stroke at every bar.
static void paint_line(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                       const WayTimeline* t, uint32_t r) {
  const WayRibbonRow* const row = &l->rows[r];
  const double x = l->box.x + l->gutter, y = l->box.y + r * l->row + l->line;
  way_chip_source(cr, theme->hair);
  cairo_set_line_width(cr, theme->weight * (0.6 + 0.08 * l->symbol));
  cairo_move_to(cr, x, y);
  cairo_line_to(cr, x + row->n * l->bar, y);
  for (uint32_t i = 0; i <= row->n; ++i) {
    const double up = (i && i < row->n ? 0.26 : 0.5) * l->symbol;
    cairo_move_to(cr, x + i * l->bar, y - up);
    cairo_line_to(cr, x + i * l->bar, y + up);
  }
  cairo_stroke(cr);
  if (row->opens && l->gutter > 0) {
    way_chip_source(cr, theme->soft);
    way_label(cr, l->box.x, y,
              &(WayLabelStyle){0.9 * l->symbol, true, WAY_ALIGN_LEFT,
                               l->gutter - 1.35 * l->token},
              t->sections[row->section].name);
  }
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

/// What the texts of one chord need.
typedef struct {
  uint32_t span;
  double x, y;  ///< Where it begins on the line
  double right; ///< Where the next chord begins
  double free;  ///< Where the texts before it end
  bool goes_on; ///< From the row before
  bool now;
} Place;

static void write_symbol(const WayTimeline* t, uint32_t span, WayOut* out) {
  way_chord_write(&way_timeline_harmony(t, span)->chord, out);
}

static void write_numeral(const WayTimeline* t, uint32_t span, WayOut* out) {
  const WayHarmony* const h = way_timeline_harmony(t, span);
  const WayHarmony* const next =
      way_timeline_harmony(t, span + 1 < t->n_spans ? span + 1 : 0);
  if (!h->chord.n_tones) return; // the symbol says it all
  char text[WAY_NUMERAL_MAX];
  WayOut plain = way_out(text, sizeof(text));
  way_numeral_write(&h->chord, &next->chord, h->key, &plain);
  way_label_signs(text, out);
}

/// Paint a chord's texts; where its place is short they begin a little before it.
/// @return Where the symbol ends.
static double paint_chord(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                          const WayTimeline* t, Place p) {
  char text[3 * WAY_NUMERAL_MAX];
  const double gap = 0.25 * l->symbol;
  WayLabelStyle style = {l->symbol, p.now, WAY_ALIGN_LEFT, 0};
  WayOut out = way_out(text, sizeof(text));
  write_symbol(t, p.span, &out);
  const double wants = way_label_symbol_width(cr, &style, text);
  double x = p.x + l->token; // clear of a landing's token
  if (x + wants + gap > p.right) x = p.right - gap - wants;
  if (x < p.free + gap) x = p.free + gap;
  style.most = p.right - gap - x;
  way_chip_source(cr, p.goes_on && !p.now ? theme->soft : theme->ink);
  const double end = x + way_label_symbol(cr, x, p.y - l->symbol_up, &style, text);
  if (!(l->numeral > 0) || p.goes_on) return end;
  out = way_out(text, sizeof(text));
  write_numeral(t, p.span, &out);
  way_chip_source(cr, theme->soft);
  style = (WayLabelStyle){l->numeral, false, WAY_ALIGN_LEFT, p.right - gap - x};
  way_label(cr, x, p.y + l->numeral_down, &style, text);
  return end;
}

static void paint_row(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                      const WayTimeline* t, uint32_t r, uint32_t now) {
  const WayRibbonRow* const row = &l->rows[r];
  const WayTick from = t->bars[row->bar].start;
  const WayTick to = way_timeline_bar_end(t, row->bar + row->n - 1);
  const double left = l->box.x + l->gutter;
  const double y = l->box.y + r * l->row + l->line;
  double free = left - l->symbol;
  uint32_t span = span_from(t, from + 1) - 1; // what sounds at the row's start
  for (; span < t->n_spans && t->spans[span].start < to; ++span) {
    const bool goes_on = t->spans[span].start < from;
    const double x = goes_on ? left : way_ribbon_point(l, t, t->spans[span].start).x;
    const WayTick end = way_timeline_span_end(t, span);
    const double right =
        end < to ? way_ribbon_point(l, t, end).x : left + row->n * l->bar;
    free = paint_chord(cr, l, theme, t,
                       (Place){span, x, y, right, free, goes_on, span == now});
  }
}

static void paint_token(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                        const WayTimeline* t, const WayLandingToken* token) {
  const WayRibbonPoint p = way_ribbon_point(l, t, t->spans[token->span].start);
  if (!p.shown) return;
  char degree[WAY_SPELLING_MAX], text[4 * WAY_SPELLING_MAX];
  WayOut plain = way_out(degree, sizeof(degree));
  way_role_degree_write(token->role.degree, &plain);
  WayOut out = way_out(text, sizeof(text));
  way_label_signs(degree, &out);
  way_chip_source(cr, theme->ground);
  cairo_new_sub_path(cr);
  cairo_arc(cr, p.x, p.y, l->token * 1.12, 0, TURN);
  cairo_fill(cr);
  way_chip_sign(cr, p.x, p.y, l->token, token->role, text, theme->ink, &theme->ground);
  if (!token->on_target) return;
  cairo_new_sub_path(cr);
  cairo_arc(cr, p.x, p.y, l->token * 1.22, 0, TURN);
  way_chip_source(cr, theme->edge);
  cairo_set_line_width(cr, 0.36 * l->token);
  cairo_stroke_preserve(cr);
  way_chip_source(cr, theme->target);
  cairo_set_line_width(cr, 0.22 * l->token);
  cairo_stroke(cr);
}

void way_ribbon_paint(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                      const WayTimeline* t, WayTick tick, bool rolling,
                      const WayLandingToken* landings, unsigned n_landings) {
  const WayPlace place = way_timeline_at(t, tick < 0 ? 0 : tick);
  if (tick >= 0) paint_here(cr, l, theme, place.bar);
  for (uint32_t r = 0; r < l->n; ++r) {
    const WayRibbonRow* const row = &l->rows[r];
    const bool here =
        tick >= 0 && place.bar >= row->bar && place.bar - row->bar < row->n;
    paint_line(cr, l, theme, t, r);
    paint_row(cr, l, theme, t, r, here ? place.span : UINT32_MAX);
  }
  if (tick >= 0) paint_way(cr, l, theme, t, tick, rolling);
  for (unsigned i = 0; i < n_landings; ++i)
    if (landings[i].span < t->n_spans) paint_token(cr, l, theme, t, &landings[i]);
  if (tick >= 0) paint_marker(cr, l, theme, t, tick);
}
