// How far each channel is bent: by how much a note sounds above the key that was
// struck.
#ifndef WAY_LIVE_BEND_H
#define WAY_LIVE_BEND_H

#include "base/attributes.h"
#include "base/midi.h"

#include <string.h>

/// A bend this near to a pitch rests on it; in cents.
#define WAY_BEND_NEAR 35

/**
   The bends of 16 channels.  No pointers.

   Ranges come from the settings, until registered parameter 0 (pitch bend sensitivity)
   of a channel says otherwise: data entry sets it, increment and decrement move it by a
   cent.  Registered parameter 6 (MPE configuration) on channel 1 or 16 makes a zone:
   its members are bent 48 semitones, on top of their master, and parameter 0 of one
   member counts for all.  Channels that leave a zone have the range of the settings
   again. Controller 126 (mono) makes strings of its channels, 127 (poly) undoes that.
   Sources: MIDI 1.0 Detailed Specification; RP-053, MIDI Polyphonic Expression; RP-015,
   reset all controllers; RP-018, data increment and decrement.
*/
typedef struct {
  int8_t steps[16];       ///< Whole semitones nearest to where a channel is bent
  int16_t value[16];      ///< Of the newest bend message, -8192..8191
  uint16_t range[16];     ///< Cents that a whole bend reaches
  uint16_t given;         ///< The same as set, for all channels
  uint16_t parameter[16]; ///< The registered parameter chosen; 0x3FFF for none
  uint8_t members[2];     ///< Of the zones that begin at channel 1 and 16; 0: no zone
  uint16_t mono;          ///< Bit n: channel n is a string
} WayBends;

/// Nothing bent.  @param range In semitones, 0..96.  @par Real-time safe.
WAY_RT void way_bends_init(WayBends* b, double range);
/// Every channel outside zones gets this range, in semitones.  @par Real-time safe.
WAY_RT void way_bends_set_range(WayBends* b, double range);
/**
   Hear a channel message of three bytes; only bends and controllers count.

   @return The channels that may be bent otherwise now, bit n for channel n.
   @par Real-time safe.
*/
WAY_RT uint16_t way_bends_hear(WayBends* b, const uint8_t bytes[3]);
/// How far a channel (0..15) is bent, in cents.  @par Real-time safe.
WAY_RT int way_bends_cents(const WayBends* b, unsigned channel);
/// The members of the zone that channel 0 or 15 is master of, and that channel; 0 if it
/// is none.  @par Real-time safe.
WAY_RT uint16_t way_bends_zone(const WayBends* b, unsigned channel);
/// How a note of this number (0..127) sounds on a channel (0..15).
/// @par Real-time safe.
static inline uint8_t way_bends_pitch(const WayBends* b, unsigned channel,
                                      unsigned number) {
  return way_midi_nearest((int)number + b->steps[channel]);
}
/// The number that makes a note sound at `pitch` on a channel.  @par Real-time safe.
static inline uint8_t way_bends_number(const WayBends* b, unsigned channel,
                                       unsigned pitch) {
  return way_midi_nearest((int)pitch - b->steps[channel]);
}
/// Whether no channel is bent by half a semitone or more.
static inline bool way_bends_none(const WayBends* b) {
  static const int8_t none[16];
  return !memcmp(b->steps, none, sizeof(none));
}
/// Whether channels are bent apart from each other: zones or strings.
static inline bool way_bends_apart(const WayBends* b) {
  return b->members[0] || b->members[1] || (b->mono & (b->mono - 1));
}

#endif
