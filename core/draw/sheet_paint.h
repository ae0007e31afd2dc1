// Painting a sheet, page by page.
#ifndef WAY_DRAW_SHEET_PAINT_H
#define WAY_DRAW_SHEET_PAINT_H

#include "draw/canvas.h"
#include "draw/sheet.h"

/// Paint a page (0..n_pages-1), in points.
void way_sheet_paint(cairo_t* cr, const WaySheet* sheet, uint32_t page);
/**
   Draw a sheet into a file in memory.

   @param page  1..n_pages for one page; 0 for all: in a PDF one behind the other, in a
                picture one below the other.
   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @param size  Receives its size.
   @return As way_canvas_write().
*/
WayStatus way_sheet_write(const WaySheet* sheet, uint32_t page, WayCanvasKind kind,
                          char** bytes, size_t* size);

#endif
