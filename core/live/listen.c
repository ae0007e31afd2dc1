#include "live/listen.h"

#include "theory/chord_find.h"

#include <string.h>

void way_listen_init(WayListen* l) { memset(l, 0, sizeof(*l)); }

/// Put a key in, or take it out.  @return Whether that changed the set.
static bool put(WayKeySet* keys, uint8_t channel, uint8_t number, bool in) {
  uint64_t* const word = &keys->bits[channel & 15][number >> 6 & 1];
  const uint64_t bit = UINT64_C(1) << (number & 63), before = *word;
  *word = in ? before | bit : before & ~bit;
  if (*word == before) return false;
  keys->n = (uint16_t)(in ? keys->n + 1 : keys->n - 1);
  return true;
}

void way_listen_strike(WayListen* l, uint8_t channel, uint8_t number, bool together) {
  if (!together) {
    memset(&l->fresh, 0, sizeof(l->fresh));
    memset(&l->struck, 0, sizeof(l->struck));
  }
  l->unread = true;
  put(&l->lifted, channel, number, false);
  put(&l->held, channel, number, true);
  put(&l->fresh, channel, number, true);
  put(&l->struck, channel, number, true);
}

/// Whether a set holds a key.
static bool has(const WayKeySet* keys, uint8_t channel, uint8_t number) {
  return keys->bits[channel & 15][number >> 6 & 1] >> (number & 63) & 1;
}

/// A key is held no longer.
static bool release(WayListen* l, uint8_t channel, uint8_t number) {
  put(&l->lifted, channel, number, false);
  const bool was_held = put(&l->held, channel, number, false);
  const bool was_fresh = put(&l->fresh, channel, number, false);
  if (!l->unread) put(&l->struck, channel, number, false);
  return was_held && !was_fresh && l->held.n == l->fresh.n;
}

bool way_listen_lift(WayListen* l, uint8_t channel, uint8_t number) {
  if (!(l->pedals >> (channel & 15) & 1)) return release(l, channel, number);
  if (has(&l->held, channel, number)) put(&l->lifted, channel, number, true);
  return false;
}

bool way_listen_pedal(WayListen* l, uint8_t channel, bool down) {
  const uint16_t bit = (uint16_t)(1u << (channel & 15));
  l->pedals = (uint16_t)(down ? l->pedals | bit : l->pedals & ~bit);
  bool again = false;
  for (uint8_t number = 0; !down && number < 128; ++number)
    if (has(&l->lifted, channel, number) && release(l, channel, number)) again = true;
  return again;
}

void way_listen_clear_channel(WayListen* l, uint8_t channel) {
  for (uint8_t number = 0; number < 128; ++number) release(l, channel, number);
}

/// The pitch classes of 64 notes, as if the first were a C.
static WayPcSet fold(uint64_t notes) {
  return (notes | notes >> 12 | notes >> 24 | notes >> 36 | notes >> 48 | notes >> 60) &
         WAY_PCS_ALL;
}

/// Pitch classes of some keys; the lowest one's goes to `bass`.
static WayPcSet pcs_of(const WayKeySet* keys, WayPc* bass) {
  uint64_t low = 0, high = 0;
  for (unsigned channel = 0; channel < 16; ++channel) {
    low |= keys->bits[channel][0];
    high |= keys->bits[channel][1];
  }
  if (low | high)
    *bass = way_pc(low ? __builtin_ctzll(low) : 64 + __builtin_ctzll(high));
  return fold(low) | way_pcs_move(fold(high), 64 % 12);
}

/// Whether enough notes for a chord are there: two are if they make a fifth.
static bool are_enough(WayPcSet set) {
  const unsigned n = way_pcs_count(set);
  return n > 2 || (n == 2 && (set & way_pcs_move(set, 7)));
}

/// Read the chord that some keys spell.
static bool read_keys(WayListen* l, const WayKeySet* keys, const WayKey* key) {
  WayPc bass = 0;
  const WayPcSet set = pcs_of(keys, &bass);
  const WayFindHints hints = {.key = key, .previous = l->known ? &l->chord : NULL};
  WayFound found[WAY_FOUND_MAX];
  if (!are_enough(set) || !way_chord_find(set, bass, &hints, found)) return false;
  l->chord = found[0].chord;
  l->notes = set;
  l->bass = bass;
  l->known = true;
  return true;
}

bool way_listen_settle(WayListen* l, const WayKey* key) {
  const bool overlaps = l->held.n >= l->fresh.n + 2;
  const WayKeySet struck = l->struck;
  WayKeySet all = l->held;
  for (unsigned c = 0; c < 16; ++c)
    for (unsigned half = 0; half < 2; ++half) all.bits[c][half] |= struck.bits[c][half];
  l->struck = l->fresh;
  l->unread = false;
  return (overlaps && read_keys(l, &struck, key)) || read_keys(l, &all, key);
}

WayKey way_listen_key(const WayChord* chord) {
  const unsigned down = (12u - way_spelling_pc(chord->root)) % 12u;
  const WayPcSet set = way_pcs_move(way_chord_pcs(chord), down); // above the root
  if (way_pcs_has(set, 3) && !way_pcs_has(set, 4))
    return (WayKey){chord->root, WAY_MODE_MINOR};
  const int fifths = way_spelling_fifths(chord->root);
  const bool dominant = way_pcs_has(set, 4) && way_pcs_has(set, 10);
  return (WayKey){way_spelling_at_fifths(dominant ? fifths - 1 : fifths),
                  WAY_MODE_MAJOR};
}
