#include "theory/embellish.h"

#include "check.h"
#include "rng.h"

// Worked examples made from the definitions of Open Music Theory, chapter "Embellishing
// tones" (open-musictheory.github.io, read from its source).  A `c` is a chord tone all
// along, `x` is none, `h` is one at its onset only (the chord changes under it), `s` at
// its end only, `k` none and chromatic.
static const struct {
  const char* notes; ///< One letter a note
  const char* rests; ///< `-` where a rest stands before the note
  uint8_t pitches[6], strengths[6];
  uint8_t at;
  WayEmbellish kind;
} examples[] = {
    {"cxc", "", {60, 62, 64}, {4, 0, 2}, 1, WAY_EMBELLISH_PASSING},
    {"cxc", "", {64, 62, 60}, {4, 0, 2}, 1, WAY_EMBELLISH_PASSING},
    {"cxc", "", {64, 62, 60}, {0, 4, 0}, 1, WAY_EMBELLISH_PASSING}, // accented
    {"cxxc", "", {67, 69, 71, 72}, {2, 0, 1, 0}, 1, WAY_EMBELLISH_PASSING},
    {"cxxc", "", {67, 69, 71, 72}, {2, 0, 1, 0}, 2, WAY_EMBELLISH_PASSING},
    {"cxc", "", {60, 62, 60}, {4, 0, 2}, 1, WAY_EMBELLISH_UPPER_NEIGHBOUR},
    {"cxc", "", {60, 59, 60}, {4, 0, 2}, 1, WAY_EMBELLISH_LOWER_NEIGHBOUR},
    {"cxxc", "", {60, 62, 59, 60}, {4, 0, 1, 0}, 1, WAY_EMBELLISH_DOUBLE_NEIGHBOUR},
    {"cxxc", "", {60, 62, 59, 60}, {4, 0, 1, 0}, 2, WAY_EMBELLISH_DOUBLE_NEIGHBOUR},
    {"ckkc", "", {67, 61, 59, 60}, {4, 0, 1, 0}, 1, WAY_EMBELLISH_DOUBLE_NEIGHBOUR},
    {"cxc", "", {60, 65, 64}, {2, 0, 3}, 1, WAY_EMBELLISH_INCOMPLETE_NEIGHBOUR},
    {"cxc", "", {60, 65, 64}, {0, 4, 0}, 1, WAY_EMBELLISH_APPOGGIATURA},
    {"cxc", "", {64, 65, 60}, {4, 0, 2}, 1, WAY_EMBELLISH_ESCAPE},
    {"cxc", "", {60, 60, 59}, {2, 4, 2}, 1, WAY_EMBELLISH_SUSPENSION},
    {"chc", "", {64, 60, 59}, {2, 1, 2}, 1, WAY_EMBELLISH_SUSPENSION}, // tied over
    {"cxc", "", {71, 71, 72}, {2, 4, 2}, 1, WAY_EMBELLISH_RETARDATION},
    {"chc", "", {74, 71, 72}, {2, 1, 2}, 1, WAY_EMBELLISH_RETARDATION},
    {"cxc", "", {62, 60, 60}, {2, 0, 4}, 1, WAY_EMBELLISH_ANTICIPATION},
    {"cxc", "", {67, 60, 60}, {2, 0, 4}, 1, WAY_EMBELLISH_ANTICIPATION},
    {"csc", "", {62, 60, 64}, {2, 0, 4}, 1, WAY_EMBELLISH_SYNCOPATION},
    {"cxc", "", {60, 60, 60}, {4, 4, 4}, 1, WAY_EMBELLISH_PEDAL},
    // Common practice, no source.
    {"ckc", "", {60, 66, 67}, {2, 0, 2}, 1, WAY_EMBELLISH_CHROMATIC_APPROACH},
    {"kc", "", {63, 64}, {0, 2}, 0, WAY_EMBELLISH_CHROMATIC_APPROACH},
    {"ckkc", "", {60, 65, 66, 67}, {2, 0, 1, 2}, 1, WAY_EMBELLISH_CHROMATIC_APPROACH},
    // Repetitions are looked through: C D D E.
    {"cxxc", "", {60, 62, 62, 64}, {4, 0, 1, 2}, 1, WAY_EMBELLISH_PASSING},
    {"cxxc", "", {60, 62, 62, 64}, {4, 0, 1, 2}, 2, WAY_EMBELLISH_PASSING},
    // Leaps on both sides, or nothing.
    {"cxc", "", {60, 65, 72}, {4, 0, 2}, 1, WAY_EMBELLISH_FREE},
    {"x", "", {65}, {4}, 0, WAY_EMBELLISH_FREE},
    // A rest cuts a line: the D no longer leads to the E.
    {"cxc", "  -", {67, 62, 64}, {4, 0, 2}, 1, WAY_EMBELLISH_FREE},
    {"cxc", " - ", {60, 62, 64}, {4, 0, 2}, 1, WAY_EMBELLISH_INCOMPLETE_NEIGHBOUR},
    {"cxc", "", {60, 62, 64}, {4, 0, 2}, 2, WAY_EMBELLISH_CHORD_TONE},
};

static void test_worked_examples(void** state) {
  (void)state;
  for (size_t e = 0; e < WAY_COUNT(examples); ++e) {
    WayMelodyNote notes[6];
    uint8_t kinds[6];
    const size_t n = strlen(examples[e].notes), rests = strlen(examples[e].rests);
    for (size_t i = 0; i < n; ++i) {
      const char c = examples[e].notes[i];
      notes[i] = (WayMelodyNote){.pitch = examples[e].pitches[i],
                                 .strength = examples[e].strengths[i],
                                 .after_rest = i < rests && examples[e].rests[i] == '-',
                                 .chord_tone = c == 'c' || c == 'h',
                                 .chord_tone_at_end = c == 'c' || c == 's',
                                 .chromatic = c == 'k'};
    }
    way_embellish(notes, n, kinds);
    if (kinds[examples[e].at] != examples[e].kind)
      fail_msg("example %zu: %s, expected %s", e,
               way_embellish_name((WayEmbellish)kinds[examples[e].at]),
               way_embellish_name(examples[e].kind));
  }
}

static WayMelodyNote draw_note(uint32_t* rng) {
  WayMelodyNote note = {.pitch = (uint8_t)(60 + rng_below(rng, 12))};
  note.strength = (uint8_t)rng_below(rng, 5);
  note.after_rest = !rng_below(rng, 8);
  note.chord_tone = rng_below(rng, 2);
  note.chord_tone_at_end = rng_below(rng, 8) ? note.chord_tone : !note.chord_tone;
  note.chromatic = !note.chord_tone && rng_below(rng, 2);
  return note;
}

// Properties: moving a melody changes no name, and turning it upside down swaps upper
// with lower neighbours and suspensions with retardations, and nothing else.
static void test_transposed_and_mirrored_melodies(void** state) {
  (void)state;
  static const uint8_t mirror[WAY_EMBELLISH_COUNT] = {
      [WAY_EMBELLISH_UPPER_NEIGHBOUR] = WAY_EMBELLISH_LOWER_NEIGHBOUR,
      [WAY_EMBELLISH_LOWER_NEIGHBOUR] = WAY_EMBELLISH_UPPER_NEIGHBOUR,
      [WAY_EMBELLISH_SUSPENSION] = WAY_EMBELLISH_RETARDATION,
      [WAY_EMBELLISH_RETARDATION] = WAY_EMBELLISH_SUSPENSION};
  for (uint32_t seed = 1; seed <= 2000; ++seed) {
    uint32_t rng = seed;
    WayMelodyNote notes[64], up[64], down[64];
    uint8_t kinds[64], up_kinds[64], down_kinds[64];
    for (size_t i = 0; i < WAY_COUNT(notes); ++i) {
      notes[i] = up[i] = down[i] = draw_note(&rng);
      up[i].pitch = (uint8_t)(notes[i].pitch + 5);
      down[i].pitch = (uint8_t)(127 - notes[i].pitch);
    }
    way_embellish(notes, WAY_COUNT(notes), kinds);
    way_embellish(up, WAY_COUNT(up), up_kinds);
    way_embellish(down, WAY_COUNT(down), down_kinds);
    assert_memory_equal(kinds, up_kinds, sizeof(kinds));
    for (size_t i = 0; i < WAY_COUNT(notes); ++i) {
      const uint8_t swapped = mirror[kinds[i]] ? mirror[kinds[i]] : kinds[i];
      if (down_kinds[i] != swapped) fail_msg("seed %u: note %zu", seed, i);
    }
  }
}

static void test_strength_of_places(void** state) {
  (void)state;
  static const uint8_t in_four[] = {4, 0, 1, 0, 2, 0, 1, 0, 3, 0, 1, 0, 2};
  for (uint8_t i = 0; i < WAY_COUNT(in_four); ++i) // sixteenths of 4/4
    assert_int_equal(way_embellish_strength(i, 4, 16), in_four[i]);
  assert_int_equal(way_embellish_strength(1, 1, 3), 2);
  assert_int_equal(way_embellish_strength(3, 2, 6), 1); // 3/4 has no middle beat
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_worked_examples),
      cmocka_unit_test(test_transposed_and_mirrored_melodies),
      cmocka_unit_test(test_strength_of_places),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
