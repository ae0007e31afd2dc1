// Painting the last bars played.
#ifndef WAY_DRAW_TRAIL_PAINT_H
#define WAY_DRAW_TRAIL_PAINT_H

#include "draw/theme.h"
#include "draw/trail.h"
#include "time/timeline.h"

/**
   Paint a trail: every note a dot of its role's shape, with a line as long as it
   sounds.

   @param t Its changes of chord are shown behind the notes; NULL for none.
*/
void way_trail_paint(cairo_t* cr, const WayTrailLayout* l, const WayTheme* theme,
                     double unit, const WayTimeline* t, const WayTrailNote* notes,
                     uint32_t n);

#endif
