// From frames of sound to ticks of music and back.
#ifndef WAY_TIME_CLOCK_H
#define WAY_TIME_CLOCK_H

#include "time/beat.h"

/**
   A straight line through time: at `frame` the music stands at `tick`.

   A frame belongs to the tick nearest to it, so a note that a host placed on the frame
   before an exact beat still counts as on the beat.
*/
typedef struct {
  int64_t frame;          ///< Anchor, in frames since any fixed moment
  double tick;            ///< Where the music stands at the anchor
  double ticks_per_frame; ///< Speed; 0 when stopped (as is a speed that is negative or
                          ///< not finite)
} WayClock;

/// Ticks of a clock stay within plus and minus this; further out they stand still.
#define WAY_TICK_FAR (INT64_C(1) << 62)

/// The place at a frame (which may lie before the anchor).  It never falls from one
/// frame to the next.  @par Real-time safe.
WAY_RT WayTick way_clock_tick(const WayClock* c, int64_t frame);
/// The same, not rounded to a tick.  @par Real-time safe.
WAY_RT double way_clock_exact(const WayClock* c, int64_t frame);
/**
   The first frame at which way_clock_tick() is `tick` or more.

   @return INT64_MAX if no frame reaches it (stopped before it, say), INT64_MIN if every
   frame has (stopped at it or behind it).
   @par Real-time safe: a few steps for any sensible clock, else at most 66.
*/
WAY_RT int64_t way_clock_frame(const WayClock* c, WayTick tick);

#endif
