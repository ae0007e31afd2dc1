#include "draw/ribbon_paint.h"

#include "draw/label.h"
#include "draw/signs.h"
#include "draw/spread.h"
#include "theory/chord_write.h"
#include "theory/numeral_write.h"

#include <math.h>

#define TURN 6.283185307179586
#define HEAVY 0.34 // a heavy line, in radii of tokens
#define GAP 0.25   // between texts, in sizes of their letters

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
  const double y = l->box.y + r * l->row + l->line;
  way_chip_source(cr, theme->hair);
  cairo_set_line_width(cr, theme->weight * (0.6 + 0.08 * l->symbol));
  cairo_move_to(cr, row->x[0], y);
  cairo_line_to(cr, row->x[row->n], y);
  for (uint32_t i = 0; i <= row->n; ++i) {
    const double up = (i && i < row->n ? 0.26 : 0.5) * l->symbol;
    cairo_move_to(cr, row->x[i], y - up);
    cairo_line_to(cr, row->x[i], y + up);
  }
  cairo_stroke(cr);
  if (row->opens && l->gutter > 0) {
    way_chip_source(cr, theme->soft);
    way_label_cut(
        cr, l->box.x, y,
        &(WayLabelStyle){l->name, true, WAY_ALIGN_LEFT, l->gutter - 1.35 * l->token},
        t->sections[row->section].name);
  }
}

/// The chords of a bar on the line.
typedef struct {
  WayBox bar;
  uint32_t first, n;           ///< Spans
  bool goes_on;                ///< The first one, from before
  double x[WAY_RIBBON_CHORDS]; ///< Where their texts begin, from the bar's left edge
  double scale;                ///< So much smaller are they set
} Chords;

static void write_symbol(const WayTimeline* t, uint32_t span, WayOut* out) {
  way_chord_write(&way_timeline_harmony(t, span)->chord, out);
}

static void write_numeral(const WayTimeline* t, uint32_t span, WayOut* out) {
  const WayHarmony* const h = way_timeline_harmony(t, span);
  const WayHarmony* const next =
      way_timeline_harmony(t, span + 1 < t->n_spans ? span + 1 : 0);
  if (!h->chord.n_tones) return; // the symbol says it all
  way_signs_numeral(&h->chord, &next->chord, h->key, out);
}

/// Place the chords of a bar at their beats, or as near as they fit.
static Chords place_chords(cairo_t* cr, const WayRibbonLayout* l, const WayTimeline* t,
                           uint32_t bar, bool goes_on, uint32_t now) {
  const WayTick from = t->bars[bar].start, length = way_ribbon_bar_length(t, bar);
  Chords c = {.bar = way_ribbon_bar(l, bar), .first = way_timeline_at(t, from).span};
  double width[WAY_RIBBON_CHORDS];
  char text[WAY_SYMBOL_MAX];
  c.goes_on = goes_on && t->spans[c.first].start < from;
  if (!c.goes_on && t->spans[c.first].start < from) ++c.first;
  for (uint32_t i = c.first; i < t->n_spans && c.n < WAY_RIBBON_CHORDS; ++i, ++c.n) {
    const WayTick in = t->spans[i].start - from;
    if (in >= length) break;
    WayOut out = way_out(text, sizeof(text));
    write_symbol(t, i, &out);
    width[c.n] =
        GAP * l->symbol +
        way_label_symbol_width(
            cr, &(WayLabelStyle){l->symbol, i == now, WAY_ALIGN_LEFT, 0}, text);
    c.x[c.n] = in > 0 ? c.bar.width * (double)in / (double)length : 0;
  }
  c.scale = way_spread(c.x, width, c.n, c.bar.width - l->front, c.x);
  for (uint32_t i = 0; i < c.n; ++i) c.x[i] += l->front;
  return c;
}

static void paint_chord(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                        const WayTimeline* t, const Chords* c, uint32_t i, double scale,
                        uint32_t now) {
  const uint32_t span = c->first + i;
  const double x = c->bar.x + c->x[i], y = c->bar.y + l->line;
  const bool goes_on = c->goes_on && !i;
  char text[3 * WAY_NUMERAL_MAX];
  WayOut out = way_out(text, sizeof(text));
  write_symbol(t, span, &out);
  way_chip_source(cr, goes_on && span != now ? theme->soft : theme->ink);
  way_label_symbol(cr, x, y - l->symbol_up,
                   &(WayLabelStyle){scale * l->symbol, span == now, WAY_ALIGN_LEFT, 0},
                   text);
  if (!(l->numeral > 0) || goes_on) return;
  const double right = i + 1 < c->n ? c->x[i + 1] : c->bar.width;
  out = way_out(text, sizeof(text));
  write_numeral(t, span, &out);
  way_chip_source(cr, theme->soft);
  way_label(cr, x, y + l->numeral_down,
            &(WayLabelStyle){scale * l->numeral, false, WAY_ALIGN_LEFT,
                             right - c->x[i] - GAP * l->numeral},
            text);
}

static void paint_row(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                      const WayTimeline* t, uint32_t r, uint32_t now) {
  const WayRibbonRow* const row = &l->rows[r];
  Chords bars[WAY_RIBBON_BARS_MAX];
  double scale = 1; // one size a row
  for (uint32_t i = 0; i < row->n; ++i) {
    bars[i] = place_chords(cr, l, t, row->bar + i, !i, now);
    scale = fmin(scale, bars[i].scale);
  }
  for (uint32_t i = 0; i < row->n; ++i)
    for (uint32_t k = 0; k < bars[i].n; ++k)
      paint_chord(cr, l, theme, t, &bars[i], k, scale, now);
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
