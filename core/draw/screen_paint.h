// Painting the screen.
#ifndef WAY_DRAW_SCREEN_PAINT_H
#define WAY_DRAW_SCREEN_PAINT_H

#include "draw/screen.h"

/// Every region.
#define WAY_REGIONS_ALL ((1u << WAY_REGION_COUNT) - 1)

/**
   Paint some regions of the screen, ground included; the rest stays as it is.

   @param cr      Best kept from frame to frame: what sets the type stays with it.
   @param regions Bit n for #WayRegion n.  With #WAY_REGIONS_ALL the ground between the
                  regions is painted, too.
*/
void way_screen_paint(cairo_t* cr, const WayScreenModel* m, const WayScreenLayout* l,
                      unsigned regions);

#endif
