// The sign of a role: colour, shape and degree, the same in every picture.
#ifndef WAY_DRAW_CHIP_H
#define WAY_DRAW_CHIP_H

#include "theory/role.h"

#include <cairo.h>

/// A colour, each part 0..1.
typedef struct {
  double red, green, blue;
} WayColour;

/**
   The colour of a role: bluish green, sky blue, vermilion.

   From the colour-blind-safe set of M. Okabe and K. Ito, Color Universal Design (2008).
*/
WayColour way_chip_colour(WayRole role);
/// Make a colour the source.
void way_chip_source(cairo_t* cr, WayColour colour);
/**
   Draw the chip of a role around a point: a filled disc for a chord tone (an extension
   has a second ring), a ring for a scale tone, a small diamond for a chromatic note;
   with the degree.

   @param radius Of the disc; the chip stays within it.
   @param ink    Colour of the letters on the ground; on the disc they are dark.
*/
void way_chip(cairo_t* cr, double x, double y, double radius, WayRoleOf what,
              WayColour ink);
/**
   The same with letters of one's own, on a ground with lines behind it.

   @param text   UTF-8; "" for none.
   @param ground Cleared behind the letters; NULL leaves what is there.
*/
void way_chip_sign(cairo_t* cr, double x, double y, double radius, WayRoleOf what,
                   const char* text, WayColour ink, const WayColour* ground);
/// The same in one colour, told by its shape: for black and white prints.
void way_chip_plain(cairo_t* cr, double x, double y, double radius, WayRoleOf what,
                    const char* text, WayColour ink, WayColour ground);
/// Only the shape, small enough for any line of dots.
void way_chip_dot(cairo_t* cr, double x, double y, double radius, WayRole role);

#endif
