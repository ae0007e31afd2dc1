// Painting staff notation.  Every sign is a path, so no music font is needed.
#ifndef WAY_DRAW_STAFF_PAINT_H
#define WAY_DRAW_STAFF_PAINT_H

#include "draw/staff.h"

#include <cairo.h>

/// A staff on the page.
typedef struct {
  double bottom; ///< Its bottom line
  double space;  ///< From line to line
} WayStaffPlace;

/// Where a step stands.
static inline double way_staff_y(const WayStaffPlace* at, int step) {
  return at->bottom - step * at->space / 2;
}

// All paint in the current source.

/// The five lines.
void way_staff_lines(cairo_t* cr, const WayStaffPlace* at, double left, double right);
/// A bar line; a double one ends the piece.
void way_staff_bar_line(cairo_t* cr, const WayStaffPlace* at, double x, bool last);
/// A clef.  @return Its width.
double way_staff_clef(cairo_t* cr, const WayStaffPlace* at, double x, WayClef clef);
/// A key signature.  @return Its width; 0 without signs.
double way_staff_signs(cairo_t* cr, const WayStaffPlace* at, double x, WayClef clef,
                       WayKey key);
/// A metre, one number over the other.  @return Its width.
double way_staff_metre(cairo_t* cr, const WayStaffPlace* at, double x, WayMetre metre);
/// An accidental that ends at x: -2..2, 0 for a natural.
void way_staff_alter(cairo_t* cr, const WayStaffPlace* at, double x, int step,
                     int alter);
/// A note around x, with stem, flags, dot and ledger lines.  @param value NULL for a
/// head alone, whose length is not told.
void way_staff_note(cairo_t* cr, const WayStaffPlace* at, double x, int step,
                    const WayStaffValue* value);
/// A tie from the note at one x to that at the other.
void way_staff_tie(cairo_t* cr, const WayStaffPlace* at, double from, double to,
                   int step);
/// A whole rest for silence, around x.
void way_staff_rest(cairo_t* cr, const WayStaffPlace* at, double x);

#endif
