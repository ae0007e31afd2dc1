// The last bars played as dots over time.  Pure geometry.
#ifndef WAY_DRAW_TRAIL_H
#define WAY_DRAW_TRAIL_H

#include "draw/box.h"
#include "theory/role.h"
#include "time/beat.h"

/// In WayTrailNote.end: it still sounds.
#define WAY_TRAIL_SOUNDS INT64_MAX

/// A note played.
typedef struct {
  WayTick start; ///< From the top of the first chorus
  WayTick end;   ///< Likewise, or #WAY_TRAIL_SOUNDS
  uint8_t pitch; ///< MIDI note
  WayRoleOf role;
} WayTrailNote;

/// Where everything stands.
typedef struct {
  WayBox box;
  WayTick from, to; ///< Time from the left edge to the right
  int low, high;    ///< Pitches from the bottom to the top
  double radius;    ///< Of a dot
  double head;      ///< Height of the line of chord symbols at the top
} WayTrailLayout;

/**
   Lay out a trail that ends at a tick.

   Its range is that of the notes shown, at least an octave and a half, so that it
   seldom moves.
   @param to     The time at the right edge.
   @param length Of the time shown, above 0.
*/
WayTrailLayout way_trail_layout(const WayTrailNote* notes, uint32_t n, WayTick to,
                                WayTick length, double unit, WayBox box);
/// Where a time is, in whole units of the surface; may lie outside the box.
double way_trail_x(const WayTrailLayout* l, WayTick tick);
/// Where a pitch is.
double way_trail_y(const WayTrailLayout* l, int pitch);

#endif
