// Bends on their way: when the bend of a channel rests on another pitch, and when it
// has rested for long enough to be told.
#ifndef WAY_LIVE_SETTLING_H
#define WAY_LIVE_SETTLING_H

#include "live/bend.h"

/// The bends of 16 channels as they were told, and as they may be told next.  No
/// pointers.  Read `due`; change all only through the functions.
typedef struct {
  int64_t due;      ///< When the first of them has settled; INT64_MAX if none is to
  int64_t dues[16]; ///< The same by channel
  int8_t next[16];  ///< Steps of the bend that may settle
  int8_t told[16];  ///< Steps of the bend that was told
} WaySettling;

/// Nothing bent.  @par Real-time safe.
WAY_RT void way_settling_init(WaySettling* s);
/// Whether no bend was told, and none is to settle.  @par Real-time safe.
static inline bool way_settling_none(const WaySettling* s) {
  static const int8_t none[16];
  return s->due == INT64_MAX && !memcmp(s->told, none, sizeof(none));
}
/**
   The bends of some channels may be others.

   @param channels Bit n for channel n.
   @param settled  The frame at which one that rests from now on has settled.
   @par Real-time safe.
*/
WAY_RT void way_settling_follow(WaySettling* s, const WayBends* bends,
                                uint16_t channels, int64_t settled);
/// A channel's bend is told as it is.  @param channel 0..15.  @par Real-time safe.
WAY_RT void way_settling_tell(WaySettling* s, const WayBends* bends, unsigned channel);

#endif
