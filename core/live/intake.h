// Which notes of the melody input are melody, which hold chords, and what is done with
// them all: settings and bends, laid out for every note that comes in.
#ifndef WAY_LIVE_INTAKE_H
#define WAY_LIVE_INTAKE_H

#include "live/bend.h"
#include "live/ledger.h"
#include "live/settings.h"

/// A value; read its fields.
typedef struct {
  uint16_t melody_channels; ///< Bit n: notes on channel n may be melody
  uint16_t chord_channels;  ///< Bit n: notes on channel n hold
  uint8_t chords_below;     ///< chords if they lie below this
  uint8_t lowest, keys;     ///< The melody's range: its lowest key, and how many more
  bool plain;               ///< Settings and bends leave notes plain; see live/plain.h
  uint8_t handling;         ///< As set
  uint8_t tag_channel;      ///< As set; 0 while channels are bent apart
  bool remembers;           ///< Notes are put among the recent ones
  uint16_t tagged;          ///< Bit n: what comes in on channel n goes to the tags, too
} WayIntake;

/// Lay out what settings and bends say.  @par Real-time safe.
WAY_RT WayIntake way_intake(const WaySettings* s, const WayBends* bends);
/// Whether chords come by the melody input, not by the chord track.
/// @par Real-time safe.
WAY_RT bool way_intake_has_chords(const WaySettings* s);
/// Whether chords come in by another way with settings `b` than with `a`.
/// @par Real-time safe.
WAY_RT bool way_intake_moves_chords(const WaySettings* a, const WaySettings* b);
/// The channels of the tags for messages of a channel (0..15), as bits; none for one
/// that is not tagged.  @par Real-time safe.
static inline uint16_t way_intake_tags(const WayIntake* in, unsigned channel) {
  return in->tagged >> channel & 1 ? (uint16_t)(7u << (in->tag_channel - 1u)) : 0;
}
/// Whether a key holds a chord.  @par Real-time safe.
static inline bool way_intake_is_chord(const WayIntake* in, WayKeyIndex key) {
  return in->chord_channels >> way_key_channel(key) & 1 &&
         way_key_number(key) < in->chords_below;
}
/// Whether a key that holds no chord is melody.  @par Real-time safe.
static inline bool way_intake_is_melody(const WayIntake* in, WayKeyIndex key) {
  return in->melody_channels >> way_key_channel(key) & 1 &&
         (uint8_t)(way_key_number(key) - in->lowest) <= in->keys;
}

#endif
