#include "live/listen.h"

#include "theory/chord_name.h"

#include <string.h>

#define S(semitones) (1u << (semitones))

/// A set of semitones above a root, and the symbol on C that it is written as.
typedef struct {
  WayPcSet set;
  const char* symbol;
} Shape;

// The first row that fits wins.  Voicings that leave the fifth out come last: they mean
// the chord only where nothing fuller fits.
static const Shape shapes[] = {
    {S(0) | S(4) | S(7), "C"},
    {S(0) | S(3) | S(7), "Cm"},
    {S(0) | S(4) | S(7) | S(10), "C7"},
    {S(0) | S(3) | S(7) | S(10), "Cm7"},
    {S(0) | S(4) | S(7) | S(11), "Cmaj7"},
    {S(0) | S(3) | S(6), "Cdim"},
    {S(0) | S(3) | S(6) | S(10), "Cm7b5"},
    {S(0) | S(3) | S(6) | S(9), "Cdim7"},
    {S(0) | S(4) | S(8), "Caug"},
    {S(0) | S(4) | S(7) | S(9), "C6"},
    {S(0) | S(3) | S(7) | S(9), "Cm6"},
    {S(0) | S(5) | S(7), "Csus4"},
    {S(0) | S(2) | S(7), "Csus2"},
    {S(0) | S(5) | S(7) | S(10), "C7sus4"},
    {S(0) | S(3) | S(7) | S(11), "Cm(maj7)"},
    {S(0) | S(2) | S(4) | S(7), "Cadd9"},
    {S(0) | S(2) | S(3) | S(7), "Cm(add9)"},
    {S(0) | S(2) | S(4) | S(7) | S(10), "C9"},
    {S(0) | S(2) | S(3) | S(7) | S(10), "Cm9"},
    {S(0) | S(2) | S(4) | S(7) | S(11), "Cmaj9"},
    {S(0) | S(2) | S(4) | S(7) | S(9), "C6/9"},
    {S(0) | S(2) | S(5) | S(7) | S(10), "C9sus4"},
    {S(0) | S(1) | S(4) | S(7) | S(10), "C7b9"},
    {S(0) | S(3) | S(4) | S(7) | S(10), "C7#9"},
    {S(0) | S(4) | S(6) | S(7) | S(10), "C7#11"},
    {S(0) | S(4) | S(7) | S(8) | S(10), "C7b13"},
    {S(0) | S(4) | S(6) | S(10), "C7b5"},
    {S(0) | S(4) | S(8) | S(10), "C7#5"},
    {S(0) | S(4) | S(6) | S(7) | S(11), "Cmaj7#11"},
    {S(0) | S(4) | S(8) | S(11), "Cmaj7#5"},
    {S(0) | S(2) | S(3) | S(5) | S(7) | S(10), "Cm11"},
    {S(0) | S(2) | S(4) | S(7) | S(9) | S(10), "C13"},
    {S(0) | S(7), "C5"},
    {S(0) | S(4) | S(10), "C7"},
    {S(0) | S(3) | S(10), "Cm7"},
    {S(0) | S(4) | S(11), "Cmaj7"},
    {S(0) | S(2) | S(4) | S(10), "C9"},
    {S(0) | S(2) | S(3) | S(10), "Cm9"},
    {S(0) | S(2) | S(4) | S(11), "Cmaj9"},
    {S(0) | S(4) | S(9) | S(10), "C13"},
    {S(0) | S(2) | S(4) | S(9) | S(10), "C13"},
};

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
  if (!together) memset(&l->fresh, 0, sizeof(l->fresh));
  put(&l->held, channel, number, true);
  put(&l->fresh, channel, number, true);
}

bool way_listen_lift(WayListen* l, uint8_t channel, uint8_t number) {
  const bool was_held = put(&l->held, channel, number, false);
  const bool was_fresh = put(&l->fresh, channel, number, false);
  return was_held && !was_fresh && l->held.n == l->fresh.n;
}

void way_listen_clear_channel(WayListen* l, uint8_t channel) {
  for (uint8_t number = 0; number < 128; ++number) way_listen_lift(l, channel, number);
}

/// Pitch classes of some keys; the lowest one's goes to `bass`.
static WayPcSet pcs_of(const WayKeySet* keys, WayPc* bass) {
  uint64_t all[2] = {0, 0};
  for (unsigned channel = 0; channel < 16; ++channel) {
    all[0] |= keys->bits[channel][0];
    all[1] |= keys->bits[channel][1];
  }
  WayPcSet set = 0;
  for (int note = 127; note >= 0; --note) {
    if (!(all[note >> 6] >> (note & 63) & 1u)) continue;
    *bass = way_pc(note);
    set |= WAY_PC_BIT(*bass);
  }
  return set;
}

/// A set as seen from `root`.
static WayPcSet above(WayPcSet set, WayPc root) {
  return way_pcs_move(set, (12u - root) % 12u);
}

/// The row for exactly `set` (from C) on `*root`, tried first, or on another of its
/// notes, which then goes to `root`.
static const Shape* find(WayPcSet set, WayPc* root) {
  for (size_t i = 0; i < WAY_COUNT(shapes); ++i)
    if (shapes[i].set == above(set, *root)) return &shapes[i];
  for (size_t i = 0; i < WAY_COUNT(shapes); ++i) {
    for (WayPc pc = 0; pc < 12; ++pc) {
      if (shapes[i].set != above(set, pc)) continue;
      *root = pc;
      return &shapes[i];
    }
  }
  return NULL;
}

/// Spell a root without a key: at most five accidentals in the key it stands for.
static WaySpelling plain_root(WayPc pc, bool minor) {
  const int lowest = minor ? -3 : -5; // Eb minor and Db major on the line of fifths
  const int fifths = pc * 7 % 12;     // a fifth is 7 semitones, and 7 * 7 = 4 * 12 + 1
  return way_spelling_at_fifths(lowest + way_pc(fifths - lowest));
}

/// Read the chord that some keys spell.
static bool read_keys(const WayKeySet* keys, const WayKey* key, WayChord* out) {
  WayPc bass = 0;
  const WayPcSet set = pcs_of(keys, &bass);
  WayPc root = bass;
  const Shape* shape = find(set, &root);
  if (!shape) shape = find(set & (WayPcSet)~WAY_PC_BIT(bass), &root);
  WayChord on_c;
  if (!shape || way_chord_read(way_text(shape->symbol), &on_c, NULL)) return false;
  const bool minor = way_pcs_has(shape->set, 3) && !way_pcs_has(shape->set, 4);
  const WaySpelling to = key ? way_key_spell(*key, root) : plain_root(root, minor);
  *out = way_chord_transposed(&on_c, on_c.root, to);
  const WayDegree* const tone = way_chord_tone_at(out, bass);
  if (tone)
    out->bass = way_spelling_above(out->root, *tone);
  else
    out->bass = key ? way_key_spell(*key, bass) : plain_root(bass, minor);
  return true;
}

bool way_listen_settle(WayListen* l, const WayKey* key) {
  const bool overlaps = l->held.n >= l->fresh.n + 2;
  const bool read = (overlaps && read_keys(&l->fresh, key, &l->chord)) ||
                    read_keys(&l->held, key, &l->chord);
  if (read) l->known = true;
  return read;
}

WayKey way_listen_key(const WayChord* chord) {
  const WayPcSet set = above(way_chord_pcs(chord), way_spelling_pc(chord->root));
  if (way_pcs_has(set, 3) && !way_pcs_has(set, 4))
    return (WayKey){chord->root, WAY_MODE_MINOR};
  const int fifths = way_spelling_fifths(chord->root);
  const bool dominant = way_pcs_has(set, 4) && way_pcs_has(set, 10);
  return (WayKey){way_spelling_at_fifths(dominant ? fifths - 1 : fifths),
                  WAY_MODE_MAJOR};
}
