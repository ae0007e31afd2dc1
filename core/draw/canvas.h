// Pictures as files in memory.
#ifndef WAY_DRAW_CANVAS_H
#define WAY_DRAW_CANVAS_H

#include "base/status.h"

#include <cairo.h>

/// What a picture can be written as.
typedef enum {
  WAY_CANVAS_SVG,   ///< One page
  WAY_CANVAS_PNG,   ///< One page, two pixels a point
  WAY_CANVAS_PDF,   ///< Any number of pages
  WAY_CANVAS_FRAME, ///< One page as PNG, a pixel a point
} WayCanvasKind;

/// Pages of one size, in points, and who draws them.
typedef struct {
  double width, height;
  uint32_t n_pages;
  const char* title; ///< Of the document; NULL or "" for none
  /// Draws on a white page; `what` is handed through.
  void (*draw)(cairo_t* cr, uint32_t page, const void* what);
  const void* what;
} WayCanvas;

/**
   Draw a picture into a file in memory.

   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @param size  Receives its size.
   @return #WAY_OK, #WAY_ERR_RANGE (too large for its kind, or several pages in a kind
   of one) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_canvas_write(const WayCanvas* canvas, WayCanvasKind kind, char** bytes,
                           size_t* size);

#endif
