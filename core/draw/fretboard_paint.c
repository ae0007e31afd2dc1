#include "draw/fretboard_paint.h"

#include "draw/label.h"

#include <stdio.h>

#define TURN 6.283185307179586
#define HALO_WIDE 1.5   // radius of an open halo, in signs
#define HALO_CLOSE 1.16 // and of a closed one
#define ROOT_SIZE 1.0   // radius of a root's sign, in largest signs
#define TONE_SIZE 0.92  // and of others

static void circle(cairo_t* cr, double x, double y, double radius) {
  cairo_new_sub_path(cr);
  cairo_arc(cr, x, y, radius, 0, TURN);
}

void way_halo_paint(cairo_t* cr, double x, double y, double radius,
                    const WayTheme* theme, const WayShown* shown, WayPc pc) {
  if (!way_pcs_has(shown->targets, pc)) return;
  const double line = 0.26 * radius;
  circle(cr, x, y, radius * (HALO_WIDE + (HALO_CLOSE - HALO_WIDE) * shown->closing));
  way_chip_source(cr, theme->edge);
  cairo_set_line_width(cr, line + 1.6 * theme->weight);
  cairo_stroke_preserve(cr);
  way_chip_source(cr, theme->target);
  cairo_set_line_width(cr, line);
  cairo_stroke(cr);
}

void way_sounding_paint(cairo_t* cr, double x, double y, double radius,
                        const WayTheme* theme, double strength) {
  const double line = (0.12 + 0.2 * strength) * radius;
  circle(cr, x, y, radius + line / 2);
  way_chip_source(cr, theme->ink);
  cairo_set_line_width(cr, line * theme->weight);
  cairo_stroke(cr);
}

void way_shown_paint(cairo_t* cr, double x, double y, double radius,
                     const WayTheme* theme, const WayShown* shown, WayPc pc,
                     const WayColour* ground) {
  const WayRoleOf what = shown->roles[pc];
  char text[WAY_SIGN_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_shown_sign(shown, pc, &out);
  if (what.interval) radius *= TONE_SIZE;
  if (theme->plain)
    way_chip_plain(cr, x, y, radius, what, text, theme->ink, theme->ground);
  else
    way_chip_sign(cr, x, y, radius, what, text, theme->ink, ground);
}

// ---- The board.

static void line(cairo_t* cr, double x0, double y0, double x1, double y1,
                 double width) {
  cairo_set_line_width(cr, width);
  cairo_move_to(cr, x0, y0);
  cairo_line_to(cr, x1, y1);
  cairo_stroke(cr);
}

static void paint_wires(cairo_t* cr, const WayFretLayout* l, const WayTheme* theme) {
  const double top = l->strings.y, bottom = way_box_bottom(l->strings);
  const unsigned first = way_fret_first(l) - 1u;
  way_chip_source(cr, theme->hair);
  for (unsigned fret = first; fret <= l->board.last; ++fret)
    line(cr, way_fret_wire(l, fret), top, way_fret_wire(l, fret), bottom,
         theme->weight * 0.03 * l->gap + 0.6);
  if (!(l->open > 0)) return;
  way_chip_source(cr, l->board.capo ? theme->ink : theme->soft);
  line(cr, way_fret_wire(l, first), top - 0.12 * l->gap, way_fret_wire(l, first),
       bottom + 0.12 * l->gap, (l->board.capo ? 0.3 : 0.18) * l->gap);
}

static void paint_strings(cairo_t* cr, const WayFretLayout* l, const WayTheme* theme) {
  way_chip_source(cr, theme->soft);
  for (unsigned s = 0; s < l->board.tuning.n; ++s) {
    const double y = way_fret_y(l, s);
    // Lower strings are heavier.
    const double heavy = (76 - l->board.tuning.open[s]) / 40.0;
    line(cr, l->strings.x, y, way_box_right(l->strings), y,
         theme->weight * (0.5 + 0.035 * l->gap * (heavy > 0.2 ? heavy : 0.2)));
  }
}

/// Frets that instruments mark on the neck.
static bool has_marker(unsigned fret) {
  const unsigned in_octave = fret % 12;
  return fret && (!in_octave || (in_octave % 2 && in_octave != 1 && in_octave != 11));
}

static void paint_numbers(cairo_t* cr, const WayFretLayout* l, const WayTheme* theme) {
  for (unsigned fret = l->board.first; fret <= l->board.last; ++fret) {
    const bool capo = l->board.capo && fret == l->board.capo;
    const bool edge = fret == way_fret_first(l) && l->board.first > 0;
    if (!capo && !edge && !has_marker(fret)) continue;
    char text[24];
    snprintf(text, sizeof(text), capo ? "capo %u" : "%u", fret);
    way_chip_source(cr, theme->soft);
    way_label(cr, way_fret_x(l, fret), l->number_y,
              &(WayLabelStyle){l->number, fret % 12 == 0, WAY_ALIGN_CENTRE,
                               capo ? l->open : l->cell},
              text);
  }
}

static void paint_signs(cairo_t* cr, const WayFretLayout* l, const WayTheme* theme,
                        const WayShown* shown, bool halos) {
  for (unsigned s = 0; s < l->board.tuning.n; ++s)
    for (unsigned fret = l->board.first; fret <= l->board.last; ++fret) {
      const WayPc pc = way_pc(way_fretboard_pitch(&l->board, s, fret));
      const double x = way_fret_x(l, fret), y = way_fret_y(l, s);
      if (halos)
        way_halo_paint(cr, x, y, l->radius, theme, shown, pc);
      else if (way_pcs_has(shown->set | shown->targets, pc))
        way_shown_paint(cr, x, y, l->radius, theme, shown, pc, &theme->ground);
    }
}

static void paint_sounding(cairo_t* cr, const WayFretLayout* l, const WayTheme* theme,
                           const WayShown* shown, WaySounding note,
                           const WayFretPlace* hand) {
  WayFretPlace places[WAY_STRINGS_MAX];
  const unsigned n = way_fret_places(l, note.pitch, hand, places);
  const WayPc pc = way_pc(note.pitch);
  unsigned rank = 0;
  for (unsigned i = 0; i < n; ++i) {
    if (note.string && places[i].string + 1u != note.string) continue;
    const double x = way_fret_x(l, places[i].fret);
    const double y = way_fret_y(l, places[i].string);
    if (!way_pcs_has(shown->set, pc))
      way_shown_paint(cr, x, y, l->radius, theme, shown, pc, &theme->ground);
    way_sounding_paint(cr, x, y, l->radius, theme, rank++ ? 0.2 : 1);
  }
}

void way_fretboard_paint(cairo_t* cr, const WayFretLayout* l, const WayTheme* theme,
                         const WayShown* shown, const WaySounding* sounding,
                         unsigned n_sounding, const WayFretPlace* hand) {
  paint_wires(cr, l, theme);
  paint_strings(cr, l, theme);
  paint_numbers(cr, l, theme);
  paint_signs(cr, l, theme, shown, true);
  paint_signs(cr, l, theme, shown, false);
  for (unsigned i = 0; i < n_sounding; ++i)
    paint_sounding(cr, l, theme, shown, sounding[i], hand);
}
