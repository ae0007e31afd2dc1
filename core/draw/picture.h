// Pictures as files in memory.
#ifndef WAY_DRAW_PICTURE_H
#define WAY_DRAW_PICTURE_H

#include "base/status.h"

#include <cairo.h>

/// Draws a picture.  @param what As given to way_picture_svg() and its kin.
typedef void (*WayPictureDraw)(cairo_t* cr, const void* what);

/**
   Draw a picture as SVG, in points.

   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_picture_svg(double width, double height, WayPictureDraw draw,
                          const void* what, char** bytes, size_t* size);
/// The same as PNG, in pixels.
WayStatus way_picture_png(int width, int height, WayPictureDraw draw, const void* what,
                          char** bytes, size_t* size);

#endif
