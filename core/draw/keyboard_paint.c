#include "draw/keyboard_paint.h"

#include "draw/fretboard_paint.h"

static void paint_key(cairo_t* cr, const WayKeyLayout* l, const WayTheme* theme,
                      int pitch, bool sounds) {
  const WayBox b = way_key_box(l, pitch);
  const bool raised = way_keyboard_raised(pitch);
  way_chip_source(cr, raised ? theme->hair : sounds ? theme->band : theme->ground);
  cairo_rectangle(cr, b.x, b.y, b.width, b.height);
  cairo_fill_preserve(cr);
  way_chip_source(cr, raised ? theme->soft : theme->hair);
  cairo_set_line_width(cr, theme->weight * (0.6 + 0.012 * l->key));
  cairo_stroke(cr);
  if (!sounds) return;
  // A bar along the front edge: the key that is down.
  way_chip_source(cr, theme->ink);
  cairo_rectangle(cr, b.x, way_box_bottom(b) - 0.035 * l->box.height, b.width,
                  0.035 * l->box.height);
  cairo_fill(cr);
}

static bool has_pitch(const WaySounding* notes, unsigned n, int pitch) {
  for (unsigned i = 0; i < n; ++i)
    if (notes[i].pitch == pitch) return true;
  return false;
}

static void paint_sign(cairo_t* cr, const WayKeyLayout* l, const WayTheme* theme,
                       const WayShown* shown, int pitch, bool sounds) {
  const WayPc pc = way_pc(pitch);
  double x, y;
  way_key_sign(l, pitch, &x, &y);
  if (sounds || way_pcs_has(shown->set | shown->targets, pc))
    way_shown_paint(cr, x, y, l->radius, theme, shown, pc,
                    way_keyboard_raised(pitch) ? &theme->ground : NULL);
  if (sounds) way_sounding_paint(cr, x, y, l->radius, theme, 1);
}

static void paint_keys(cairo_t* cr, const WayKeyLayout* l, const WayTheme* theme,
                       const WaySounding* sounding, unsigned n_sounding) {
  for (int raised = 0; raised < 2; ++raised)
    for (int pitch = l->board.low; pitch <= l->board.high; ++pitch)
      if (way_keyboard_raised(pitch) == (raised != 0))
        paint_key(cr, l, theme, pitch, has_pitch(sounding, n_sounding, pitch));
}

void way_keyboard_paint(cairo_t* cr, const WayKeyLayout* l, const WayTheme* theme,
                        const WayShown* shown, const WaySounding* sounding,
                        unsigned n_sounding) {
  paint_keys(cr, l, theme, sounding, n_sounding);
  for (int pitch = l->board.low; pitch <= l->board.high; ++pitch) {
    double x, y;
    way_key_sign(l, pitch, &x, &y);
    way_halo_paint(cr, x, y, l->radius, theme, shown, way_pc(pitch));
  }
  for (int pitch = l->board.low; pitch <= l->board.high; ++pitch)
    paint_sign(cr, l, theme, shown, pitch, has_pitch(sounding, n_sounding, pitch));
}
