// Running text in pictures.
#ifndef WAY_DRAW_PARAGRAPH_H
#define WAY_DRAW_PARAGRAPH_H

#include <cairo.h>
#include <stdbool.h>

/// How running text is set.
typedef struct {
  double size;  ///< Of the font, in the surface's units
  double width; ///< Of its lines
  bool bold;
} WayParagraphStyle;

/**
   Set a text in lines of one width, in the current source.

   @param y    Top of the first line.
   @param text UTF-8.
   @return The height it takes.
*/
double way_paragraph(cairo_t* cr, double x, double y, const WayParagraphStyle* style,
                     const char* text);
/// The height way_paragraph() would take.
double way_paragraph_height(cairo_t* cr, const WayParagraphStyle* style,
                            const char* text);

#endif
