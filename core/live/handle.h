// What the guide does with a note of the melody: tag, filter or snap.
#ifndef WAY_LIVE_HANDLE_H
#define WAY_LIVE_HANDLE_H

#include "live/settings.h"
#include "theory/harmony.h"

/**
   What becomes of a note.

   A note of the material goes out as it came, and so does one farther from it than
   notes are to be snapped.

   @param pitch    0..127.
   @param velocity 1..127; made softer, but not below 1, if that is asked for.
   @param from     The note that sounded before, 0..127, or #WAY_UNHELD.
   @return The pitch it goes out with, or #WAY_UNHELD if it is left out.
   @par Real-time safe: constant time.
*/
WAY_RT uint8_t way_handle_note(const WaySettings* s, const WayHarmony* h, uint8_t pitch,
                               uint8_t from, uint8_t* velocity);
/// The channel (0..15) a note with a role goes out on.
/// @param tag_channel As in #WaySettings.  @par Real-time safe.
static inline uint8_t way_handle_channel(uint8_t tag_channel, uint8_t role,
                                         uint8_t channel) {
  return tag_channel ? (uint8_t)(tag_channel - 1 + role) : channel;
}

#endif
