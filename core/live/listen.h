// The chord that held notes spell.
//
// Notes are added and taken away as they come; way_listen_settle() then reads what is
// held.  Two things are no new chord: what is left of a chord being let go, and the
// notes of the chord before that overlap a new one.
#ifndef WAY_LIVE_LISTEN_H
#define WAY_LIVE_LISTEN_H

#include "theory/chord.h"
#include "theory/key.h"

/// Keys on 16 channels.
typedef struct {
  uint64_t bits[16][2]; ///< By channel: bit n stands for MIDI note n
  uint16_t n;           ///< Keys in it
} WayKeySet;

/// What is held, and the chord it spelled last.  No pointers.
typedef struct {
  WayKeySet held;
  WayKeySet fresh;  ///< Those held that were struck together last
  WayKeySet struck; ///< The same, and those of them that went up before they were read
  bool unread;      ///< A key was struck since the chord was read
  WayKeySet lifted; ///< Those held by the sustain pedal alone
  uint16_t pedals;  ///< Bit n: the pedal of channel n is down
  bool known;       ///< `chord` is one
  WayChord chord;   ///< The last chord spelled; it stays when nothing is held
  WayPcSet notes;   ///< What sounded then
  WayPc bass;       ///< The lowest of it
} WayListen;

/// Nothing held, no chord known.  @par Real-time safe.
WAY_RT void way_listen_init(WayListen* l);
/// A key goes down.
/// @param channel 0..15.  @param number 0..127.
/// @param together Whether it belongs to the keys struck just before.
/// @par Real-time safe.
WAY_RT void way_listen_strike(WayListen* l, uint8_t channel, uint8_t number,
                              bool together);
/// A key goes up; one that is not held changes nothing.
/// @return Whether the chord should be read again: the last key that overlapped the
/// fresh ones is gone.  @par Real-time safe.
WAY_RT bool way_listen_lift(WayListen* l, uint8_t channel, uint8_t number);
/// The sustain pedal of a channel (0..15) goes down or up: keys lifted while it is down
/// stay held until it goes up.
/// @return As way_listen_lift() does, for all of them.  @par Real-time safe.
WAY_RT bool way_listen_pedal(WayListen* l, uint8_t channel, bool down);
/// All keys of a channel (0..15) go up, whatever its pedal does.  @par Real-time safe.
WAY_RT void way_listen_clear_channel(WayListen* l, uint8_t channel);
/**
   Read the chord from what is held now, and from keys that went up again before they
   could be read.

   If the fresh keys spell a chord and two or more older ones are held, those are the
   chord before; a single older one may be a pedal note, and counts.  The chord is the
   first that way_chord_find() gives, with the chord before as its hint.  Two notes are
   a chord only if they make a fifth.  What spells no chord leaves the last one in
   place.

   @param key Spells the chord and chooses among equals; may be NULL.
   @return Whether a chord was read (it may be the one before).
   @par Real-time safe: constant time.
*/
WAY_RT bool way_listen_settle(WayListen* l, const WayKey* key);
/// The key a chord is heard in when nothing else is known: that of its root, or for a
/// dominant seventh the one a fifth below; minor if its third is.  @par Real-time safe.
WAY_RT WayKey way_listen_key(const WayChord* chord);

#endif
