// Painting the form.
#ifndef WAY_DRAW_RIBBON_PAINT_H
#define WAY_DRAW_RIBBON_PAINT_H

#include "draw/ribbon.h"
#include "draw/theme.h"

/// A landing that has happened, left behind on the line.
typedef struct {
  uint32_t span;  ///< Of the timeline: the chord landed on
  bool on_target; ///< On the planned tone
  WayRoleOf role;
} WayLandingToken;

/**
   Paint the form: chord symbols over the line, numerals under it, landings on it.

   @param tick     The place, from the top of the form (0..length-1); negative for none.
   @param rolling  The marker of the place is filled; else it is hollow.
   @param landings `n_landings` tokens; may be NULL for none.
*/
void way_ribbon_paint(cairo_t* cr, const WayRibbonLayout* l, const WayTheme* theme,
                      const WayTimeline* t, WayTick tick, bool rolling,
                      const WayLandingToken* landings, unsigned n_landings);

#endif
