// Painting a keyboard.
#ifndef WAY_DRAW_KEYBOARD_PAINT_H
#define WAY_DRAW_KEYBOARD_PAINT_H

#include "draw/keyboard.h"
#include "draw/shown.h"
#include "draw/theme.h"

/// Paint a keyboard with a sign on every key of what is shown.
/// @param sounding `n_sounding` notes; may be NULL for none.
void way_keyboard_paint(cairo_t* cr, const WayKeyLayout* l, const WayTheme* theme,
                        const WayShown* shown, const WaySounding* sounding,
                        unsigned n_sounding);

#endif
