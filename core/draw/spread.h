// Room shared along a line: between things that stand side by side.  Pure geometry.
#ifndef WAY_DRAW_SPREAD_H
#define WAY_DRAW_SPREAD_H

/**
   Place things of given widths: each where it would like to begin or, pushed by the
   others, as near to that as they let it.

   @param at    Where each would like to begin, rising, 0 or more.
   @param width Their widths, with the distance to the next.
   @param out   Receives where each begins; may be `at`.
   @return How much smaller all are set so that they fit: 1 where they do.
*/
double way_spread(const double* at, const double* width, unsigned n, double room,
                  double* out);
/**
   Share the width of a row among its cells: equal parts, but those that want more get
   what they want as far as there is room.

   @param most How many cells a full row has; fewer leave the rest of it free.
   @param out  Receives the widths.
*/
void way_spread_row(const double* wants, unsigned n, unsigned most, double room,
                    double* out);
/// How many of some things stand side by side in some room: as many as can from the
/// first on, which matters most.
unsigned way_spread_keep(const double* widths, unsigned n, double room);
/// How many of `n` things a row holds each, where rows hold up to `most` and all but
/// the last are equally full: few rows, and no lonely thing in the last.
unsigned way_spread_even(unsigned n, unsigned most);

#endif
