// What the guide does with a note of the melody: tag, filter or snap.
#ifndef WAY_LIVE_HANDLE_H
#define WAY_LIVE_HANDLE_H

#include "live/settings.h"
#include "theory/harmony.h"

/**
   The pitch a note goes out with.

   A note of the material goes out as it came.

   @param pitch 0..127.
   @param from  The note that sounded before, 0..127, or #WAY_UNHELD.
   @return 0..127, or #WAY_UNHELD if the note is left out.
   @par Real-time safe: constant time.
*/
WAY_RT uint8_t way_handle_pitch(const WaySettings* s, const WayHarmony* h,
                                uint8_t pitch, uint8_t from);
/// The channel (0..15) a note with a role goes out on.
/// @param tag_channel As in #WaySettings.  @par Real-time safe.
static inline uint8_t way_handle_channel(uint8_t tag_channel, uint8_t role,
                                         uint8_t channel) {
  return tag_channel ? (uint8_t)(tag_channel - 1 + role) : channel;
}

#endif
