// Painting a fretboard.
#ifndef WAY_DRAW_FRETBOARD_PAINT_H
#define WAY_DRAW_FRETBOARD_PAINT_H

#include "draw/fretboard.h"
#include "draw/shown.h"
#include "draw/theme.h"

/**
   Paint a fretboard with a sign at every place of what is shown.

   Notes that sound have a heavy ring of ink around them: on their string where that is
   known, else at every place, the nearest to the hand heaviest.
   @param sounding `n_sounding` notes; may be NULL for none.
   @param hand     Where the hand was last; NULL if not known.
*/
void way_fretboard_paint(cairo_t* cr, const WayFretLayout* l, const WayTheme* theme,
                         const WayShown* shown, const WaySounding* sounding,
                         unsigned n_sounding, const WayFretPlace* hand);

/// The halo of a pitch class, if it is a target; to be painted before the signs.
void way_halo_paint(cairo_t* cr, double x, double y, double radius,
                    const WayTheme* theme, const WayShown* shown, WayPc pc);
/// The sign of a pitch class.
void way_shown_paint(cairo_t* cr, double x, double y, double radius,
                     const WayTheme* theme, const WayShown* shown, WayPc pc,
                     const WayColour* ground);
/// The ring around a note that sounds.  @param strength 0..1.
void way_sounding_paint(cairo_t* cr, double x, double y, double radius,
                        const WayTheme* theme, double strength);

#endif
