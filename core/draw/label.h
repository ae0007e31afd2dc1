// Text in pictures.
#ifndef WAY_DRAW_LABEL_H
#define WAY_DRAW_LABEL_H

#include "base/text.h"

#include <cairo.h>

/// Where a label stands to its point, which lies at half the height of its letters.
typedef enum {
  WAY_ALIGN_LEFT,   ///< Begins there
  WAY_ALIGN_CENTRE, ///< Is centred there
  WAY_ALIGN_RIGHT,  ///< Ends there
} WayAlign;

/// How a label looks.
typedef struct {
  double size; ///< Of the font, in the surface's units
  bool bold;
  WayAlign align;
  double most; ///< Greatest width: a longer text is set smaller; 0 for any
} WayLabelStyle;

/**
   Draw one line of text in the current source.

   @param text UTF-8.
   @return The width it takes.
*/
double way_label(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                 const char* text);
/// The same, but a longer text than `most` is cut, with an ellipsis at its end.
double way_label_cut(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                     const char* text);
/// The width way_label() would take.
double way_label_width(cairo_t* cr, const WayLabelStyle* style, const char* text);
/**
   Draw a chord symbol: the root large, what follows smaller and raised, a foreign bass
   after a stroke; with music signs.

   @param style `size` is the root's; `most` bounds the whole.
   @param text  As way_chord_write() writes it.
   @return The width it takes.
*/
double way_label_symbol(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                        const char* text);
/// The width way_label_symbol() would take.
double way_label_symbol_width(cairo_t* cr, const WayLabelStyle* style,
                              const char* text);
/**
   Append a text with its `b` and `#` as music signs: for notes, degrees and chord
   symbols, and numerals, where those letters mean nothing else but in `sub`.
*/
void way_label_signs(const char* text, WayOut* out);

#endif
