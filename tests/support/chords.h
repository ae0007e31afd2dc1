// Chords by their symbols, their tones by name, and random chords in random keys.
#ifndef WAY_TESTS_CHORDS_H
#define WAY_TESTS_CHORDS_H

#include "rng.h"
#include "theory.h"
#include "theory/chord_read.h"

/// The chord of a symbol.
static inline WayChord chord_named(const char* symbol) {
  WayChord c;
  WayError e = {0};
  if (way_chord_read(way_text(symbol), &c, &e)) fail_msg("%s: %s", symbol, e.message);
  return c;
}

/// A chord's tones by name, the bass in front.
static inline void spell_chord(const WayChord* c, char* buffer, size_t room) {
  WayOut out = way_out(buffer, room);
  way_spelling_write(c->bass, &out);
  way_out_str(&out, ":");
  for (uint8_t i = 0; i < c->n_tones; ++i) {
    way_out_char(&out, ' ');
    way_spelling_write(way_spelling_above(c->root, c->tones[i]), &out);
  }
}

/// Suffixes of common chord symbols.
static const char* const chord_suffixes[] = {
    "",      "m",    "dim",      "aug",     "5",      "sus4",  "sus2",    "6",
    "m6",    "6/9",  "m6/9",     "7",       "maj7",   "m7",    "mMaj7",   "m7b5",
    "dim7",  "7#5",  "maj7#5",   "7b5",     "7sus4",  "add9",  "madd9",   "9",
    "maj9",  "m9",   "7b9",      "7#9",     "7b9#5",  "7#11",  "maj7#11", "11",
    "m11",   "13",   "m13",      "maj13",   "7b13",   "13b9",  "9sus4",   "13sus4",
    "7alt",  "b5",   "maj7b5",   "9#11",    "m9b5",   "6b5",   "6#11",    "6/9#11",
    "6sus4", "m6b5", "maj9#11",  "7b9b13",  "madd11", "7#5#9", "6no5",    "dimMaj7",
    "add11", "7no3", "maj7sus4", "m7add11", "13#11",  "7b5b9", "m9Maj7",  "7sus4b9",
    "sus24"};

/// Draw a chord: any common quality on any root within a few fifths, any bass.
static inline WayChord draw_chord(uint32_t* rng) {
  const char* const suffix = chord_suffixes[rng_below(rng, WAY_COUNT(chord_suffixes))];
  char symbol[WAY_SYMBOL_MAX];
  WayOut out = way_out(symbol, sizeof(symbol));
  way_spelling_write((WaySpelling){0, 0}, &out);
  if (suffix[0] == 'b') {
    way_out_char(&out, '(');
    way_out_str(&out, suffix);
    way_out_char(&out, ')');
  } else {
    way_out_str(&out, suffix);
  }
  WayChord c = chord_named(symbol);
  const WaySpelling root = way_spelling_at_fifths((int)rng_below(rng, 19) - 9);
  c = way_chord_transposed(&c, (WaySpelling){0, 0}, root);
  const uint32_t bass = rng_below(rng, 8);
  if (bass < c.n_tones) c.bass = way_spelling_above(root, c.tones[bass]);
  if (bass == 7) c.bass = way_spelling_at_fifths((int)rng_below(rng, 19) - 9);
  return c;
}

/// Draw a key: any mode, up to seven sharps or flats of its tonic's major scale.
static inline WayKey draw_key(uint32_t* rng) {
  WayKey key;
  key.mode = (WayMode)rng_below(rng, WAY_MODE_COUNT);
  key.tonic = way_spelling_at_fifths((int)rng_below(rng, 15) - 7);
  return key;
}

/// A chord and its key, and both moved to another tonic.
typedef struct {
  WayChord chord, moved_chord;
  WayKey key, moved_key;
} Moved;

static inline Moved draw_moved(uint32_t seed) {
  uint32_t rng = seed;
  const WayKey key = draw_key(&rng);
  const WayChord chord = draw_chord(&rng);
  const WaySpelling to = way_spelling_at_fifths((int)rng_below(&rng, 9) - 4);
  return (Moved){
      chord, way_chord_transposed(&chord, key.tonic, to), key, {to, key.mode}};
}

#endif
