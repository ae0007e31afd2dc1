#include "draw/panel_paint.h"

#include "draw/label.h"
#include "theory/chord_write.h"

#include <math.h>
#include <stdio.h>

#define TURN 6.283185307179586
#define COUNT_MOST 0.75 // of its room: two figures are as large as one
#define WORD_LEAST 0.7  // of its size: a smaller one is left out
// Radii of knots, in weights of the line.
#define KNOT 0.75
#define KNOT_CHANGE 1.3
#define KNOT_GROUP 1.0  // where beats go in groups: the first of one
#define KNOT_LIGHT 0.62 // and the others

static void signed_label(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                         const char* text) {
  char signs[4 * WAY_SPELLING_MAX];
  WayOut out = way_out(signs, sizeof(signs));
  way_label_signs(text, &out);
  way_label(cr, x, y, style, signs);
}

/// @return How wide it is.
static double paint_symbol(cairo_t* cr, const WayChordPanel* p, const WayTheme* theme,
                           const WayHarmony* h, bool bold) {
  char text[WAY_SYMBOL_MAX] = "\u2013";
  WayOut out = way_out(text, sizeof(text));
  if (h) way_chord_write(&h->chord, &out);
  way_chip_source(cr, h ? theme->ink : theme->soft);
  if (h)
    return way_label_symbol(cr, p->box.x, p->symbol_y,
                            &(WayLabelStyle){p->symbol, bold, WAY_ALIGN_LEFT, p->room},
                            text);
  return way_label(cr, p->box.x, p->symbol_y,
                   &(WayLabelStyle){p->symbol, false, WAY_ALIGN_LEFT, p->room},
                   "\u2013");
}

static void paint_ring(cairo_t* cr, double x, double y, double radius,
                       const WayTheme* theme) {
  cairo_new_sub_path(cr);
  cairo_arc(cr, x, y, radius, 0, TURN);
  way_chip_source(cr, theme->edge);
  cairo_set_line_width(cr, 0.34 * radius);
  cairo_stroke_preserve(cr);
  way_chip_source(cr, theme->target);
  cairo_set_line_width(cr, 0.22 * radius);
  cairo_stroke(cr);
}

/// One tone of a chord: its name, and its degree under it.
typedef struct {
  WayDegree degree;
  bool fresh, target;
  bool chip; ///< The degree as the sign that stands on the instrument
} Tone;

static void paint_tone(cairo_t* cr, const WayChordPanel* p, const WayTheme* theme,
                       const WayHarmony* h, Tone tone, double x, double width) {
  char text[WAY_SPELLING_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_spelling_write(way_spelling_above(h->chord.root, tone.degree), &out);
  way_chip_source(cr, tone.fresh || tone.chip ? theme->ink : theme->soft);
  signed_label(cr, x, p->tone_y,
               &(WayLabelStyle){p->tone, tone.fresh, WAY_ALIGN_CENTRE, 0.86 * width},
               text);
  if (tone.fresh) {
    cairo_rectangle(cr, x - 0.36 * p->tone, p->tone_y - 0.82 * p->tone, 0.72 * p->tone,
                    0.13 * p->tone);
    cairo_fill(cr);
  }
  const WayRoleOf what =
      h->roles[way_pc(way_spelling_pc(h->chord.root) + way_degree_pc(tone.degree))];
  if (tone.chip) {
    way_chip(cr, x, p->degree_y, 0.95 * p->degree, what, theme->ink);
    return;
  }
  out = way_out(text, sizeof(text));
  way_role_degree_write(tone.degree, &out);
  const WayLabelStyle style = {p->degree, tone.target, WAY_ALIGN_CENTRE, 0.7 * width};
  way_chip_source(cr, tone.target ? theme->ink : theme->soft);
  signed_label(cr, x, p->degree_y, &style, text);
  if (tone.target) paint_ring(cr, x, p->degree_y, 0.95 * p->degree, theme);
}

static bool is_target(WayDegree target, WayDegree tone) {
  return target.number && way_degree_pc(target) == way_degree_pc(tone);
}

static void paint_tones(cairo_t* cr, const WayChordPanel* p, const WayTheme* theme,
                        const WayHarmony* h, WayPcSet known, WayDegree target,
                        bool chips) {
  const WayPc root = way_spelling_pc(h->chord.root);
  for (unsigned i = 0; i < h->chord.n_tones; ++i) {
    const WayDegree degree = h->chord.tones[i];
    const WayPc pc = way_pc(root + way_degree_pc(degree));
    double width;
    const double x = way_panel_tone_x(p, i, h->chord.n_tones, &width);
    paint_tone(
        cr, p, theme, h,
        (Tone){degree, !way_pcs_has(known, pc), is_target(target, degree), chips}, x,
        width);
  }
}

void way_panel_now_paint(cairo_t* cr, const WayChordPanel* p, const WayTheme* theme,
                         const WayHarmony* now) {
  paint_symbol(cr, p, theme, now, true);
  if (now) paint_tones(cr, p, theme, now, WAY_PCS_ALL, (WayDegree){0, 0}, true);
}

static void paint_way(cairo_t* cr, const WayPanelWay* w, const WayTheme* theme) {
  const double knot = w->pulse.group > 1 ? KNOT_GROUP : KNOT;
  way_chip_source(cr, theme->hair);
  cairo_set_line_width(cr, 0.3 * w->weight);
  cairo_move_to(cr, w->from, w->y);
  cairo_line_to(cr, w->to, w->y);
  cairo_stroke(cr);
  way_chip_source(cr, theme->ink);
  cairo_set_line_width(cr, w->weight);
  cairo_move_to(cr, w->at, w->y);
  cairo_line_to(cr, w->to, w->y);
  cairo_stroke(cr);
  for (unsigned i = 0; i <= w->knots; ++i) {
    bool heavy;
    const double x = way_panel_knot(w, i, &heavy);
    way_chip_source(cr, x >= w->at ? theme->ink : theme->hair);
    cairo_new_sub_path(cr);
    cairo_arc(cr, x, w->y,
              (!i      ? KNOT_CHANGE
               : heavy ? knot
                       : KNOT_LIGHT) *
                  w->weight,
              0, TURN);
    cairo_fill(cr);
  }
}

/// The beats left, in the room behind a symbol so wide; the word where it can be read.
static void paint_count(cairo_t* cr, const WayChordPanel* p, const WayTheme* theme,
                        double symbol, double until) {
  char text[24];
  const double beats = ceil(until - 1e-6);
  const double right = way_box_right(p->box);
  const double room = way_box_right(p->box) - p->box.x - p->room;
  snprintf(text, sizeof(text), "%.0f", beats);
  way_chip_source(cr, theme->ink);
  const double width = way_label(
      cr, right, p->symbol_y,
      &(WayLabelStyle){0.95 * p->symbol, true, WAY_ALIGN_RIGHT, COUNT_MOST * room},
      text);
  const double gap = 0.1 * p->symbol;
  const char* const word = beats > 1 ? "beats" : "beat";
  WayLabelStyle style = {1.2 * p->degree, false, WAY_ALIGN_RIGHT, 0};
  const double left = p->box.width - symbol - width - 2.5 * gap;
  if (left < WORD_LEAST * way_label_width(cr, &style, word)) return;
  style.most = left;
  way_chip_source(cr, theme->soft);
  way_label(cr, right - width - gap, p->symbol_y + 0.22 * p->symbol, &style, word);
}

void way_panel_next_paint(cairo_t* cr, const WayChordPanel* p, const WayTheme* theme,
                          const WayHarmony* now, const WayHarmony* next, double until,
                          double lasts, WayPanelPulse pulse, WayDegree target) {
  const double symbol = paint_symbol(cr, p, theme, next, false);
  if (!next) return;
  if (until > 0) paint_count(cr, p, theme, symbol, until);
  const WayPanelWay way = way_panel_way(p, until, lasts, pulse);
  if (until > 0) paint_way(cr, &way, theme);
  paint_tones(cr, p, theme, next, now ? way_chord_pcs(&now->chord) : 0, target, false);
}
