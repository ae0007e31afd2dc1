// The chord that held notes spell.
//
// Notes are added and taken away as they come; way_listen_settle() then reads the whole
// set, so that a chord whose notes come one after another is read once.  A note that is
// lifted never makes a new chord: what is left of a chord being let go says nothing.
#ifndef WAY_LIVE_LISTEN_H
#define WAY_LIVE_LISTEN_H

#include "theory/chord.h"
#include "theory/key.h"

/// What is held, and the chord it spelled last.  No pointers.
typedef struct {
  uint64_t keys[16][2]; ///< By channel: bit n stands for MIDI note n
  uint16_t n_held;      ///< Keys held on all channels
  bool known;           ///< `chord` is one
  WayChord chord;       ///< The last chord spelled; it stays when nothing is held
} WayListen;

/// Nothing held, no chord known.  @par Real-time safe.
WAY_RT void way_listen_init(WayListen* l);
/// A key goes down.  @param channel 0..15.  @param number 0..127.  @par Real-time safe.
WAY_RT void way_listen_strike(WayListen* l, uint8_t channel, uint8_t number);
/// A key goes up; one that is not held changes nothing.  @par Real-time safe.
WAY_RT void way_listen_lift(WayListen* l, uint8_t channel, uint8_t number);
/// All keys of a channel (0..15) go up.  @par Real-time safe.
WAY_RT void way_listen_clear_channel(WayListen* l, uint8_t channel);
/**
   Read the chord from what is held now.

   The lowest note is the bass.  Of the chords that fit, one that stands on the bass is
   preferred; then the order of the table in listen.c.  What spells no chord leaves the
   last one in place.

   @param key Spells the root; NULL spells it with the fewest accidentals.
   @return Whether a chord was read (it may be the one before).
   @par Real-time safe: constant time.
*/
WAY_RT bool way_listen_settle(WayListen* l, const WayKey* key);
/// The key a chord is heard in when nothing else is known: that of its root, or for a
/// dominant seventh the one a fifth below; minor if its third is.  @par Real-time safe.
WAY_RT WayKey way_listen_key(const WayChord* chord);

#endif
