#include "alloc.h"
#include "chords.h"
#include "take/backing_voicing.h"

#include <stdlib.h>

static const char* const roots[] = {"C",  "Db", "D",  "Eb", "E",  "F",
                                    "F#", "G",  "Ab", "A",  "Bb", "B"};
static const char* const kinds[] = {"",     "m",     "7",    "maj7",   "m7b5", "dim7",
                                    "sus4", "6/9",   "13",   "7#9b13", "+",    "5",
                                    "7alt", "maj13", "add9", "m11",    "9",    "b5",
                                    "m6",   "sus2",  "/E",   "7sus4b9"};

static void test_voicings_hold_tones_of_the_chord_in_range(void** state) {
  (void)state;
  for (size_t r = 0; r < WAY_COUNT(roots); ++r)
    for (size_t k = 0; k < WAY_COUNT(kinds); ++k) {
      char symbol[32];
      WayOut out = way_out(symbol, sizeof(symbol));
      way_out_str(&out, roots[r]);
      way_out_str(&out, kinds[k]);
      const WayChord c = chord_named(symbol);
      WayVoicing v[WAY_VOICINGS_MAX];
      const unsigned n = way_voicings_of(&c, v);
      for (unsigned i = 0; i < n; ++i) {
        if (v[i].n < 3) fail_msg("%s has a voicing of %u", symbol, v[i].n);
        WayPcSet heard = 0;
        for (unsigned p = 0; p < v[i].n; ++p) {
          assert_in_range(v[i].pitch[p], WAY_VOICING_LOW, WAY_VOICING_HIGH);
          if (p) assert_true(v[i].pitch[p] > v[i].pitch[p - 1]);
          heard |= WAY_PC_BIT(way_pc(v[i].pitch[p]));
        }
        assert_int_equal(heard & ~way_chord_pcs(&c), 0);
        // The tone that tells major from minor is there wherever the chord has it.
        const WayDegree* const third = way_chord_tone_numbered(&c, 3);
        const WayPc root = way_spelling_pc(c.root);
        if (third)
          assert_true(way_pcs_has(heard, way_pc(root + way_degree_pc(*third))));
      }
    }
}

// Common practice, no source: drop-2 is close position with the second voice from
// above an octave lower: close C E G Bb becomes G C E Bb.
static void test_drop_2(void** state) {
  (void)state;
  const WayChord c = chord_named("C7");
  WayVoicing v[WAY_VOICINGS_MAX];
  const unsigned n = way_voicings_of(&c, v);
  bool seen = false;
  for (unsigned i = 0; i < n; ++i)
    seen |= !memcmp(v[i].pitch, (const uint8_t[]){55, 60, 64, 70}, 4); // G C E Bb
  assert_true(seen);
}

static void test_distance(void** state) {
  (void)state;
  const WayVoicing a = {4, {55, 60, 64, 70}}, b = {4, {53, 60, 63, 69}};
  const WayVoicing three = {3, {55, 64, 72}}, none = {0, {0}};
  assert_int_equal(way_voicing_distance(&a, &b), 4);
  assert_int_equal(way_voicing_distance(&a, &three), 4 + 2 + 2);
  assert_int_equal(way_voicing_distance(&three, &a), 4 + 2 + 2);
  assert_int_equal(way_voicing_distance(&a, &none), 0);
}

static unsigned round_of(const WayVoicing* v, size_t n) {
  unsigned all = 0;
  for (size_t i = 0; i < n; ++i) all += way_voicing_distance(&v[i], &v[(i + 1) % n]);
  return all;
}

/// Every way round: the reference.
static unsigned least_round(const WayChord* const* chords, size_t n, size_t i,
                            WayVoicing* way) {
  if (i == n) return round_of(way, n);
  WayVoicing choice[WAY_VOICINGS_MAX];
  const unsigned count = way_voicings_of(chords[i], choice);
  unsigned least = UINT32_MAX;
  for (unsigned c = 0; c < count; ++c) {
    way[i] = choice[c];
    const unsigned all = least_round(chords, n, i + 1, way);
    if (all < least) least = all;
  }
  return least;
}

static void test_no_round_moves_less(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 60; ++seed) {
    uint32_t rng = seed;
    WayChord chords[4];
    const WayChord* list[4];
    const size_t n = 1 + rng_below(&rng, 4);
    for (size_t i = 0; i < n; ++i) {
      char symbol[32];
      WayOut out = way_out(symbol, sizeof(symbol));
      way_out_str(&out, roots[rng_below(&rng, WAY_COUNT(roots))]);
      way_out_str(&out, kinds[rng_below(&rng, WAY_COUNT(kinds))]);
      chords[i] = chord_named(symbol);
      list[i] = &chords[i];
    }
    WayVoicing led[4], way[4];
    assert_int_equal(way_voicings_lead(list, n, led), WAY_OK);
    const unsigned least = least_round(list, n, 0, way);
    if (round_of(led, n) != least)
      fail_msg("seed %u: moves %u, but %u is possible", seed, round_of(led, n), least);
  }
}

static void test_silence_is_passed_over(void** state) {
  (void)state;
  const WayChord c = chord_named("C"), none = way_chord_none();
  const WayChord* const list[] = {&none, &c, &none};
  WayVoicing v[3];
  assert_int_equal(way_voicings_lead(list, 3, v), WAY_OK);
  assert_int_equal(v[0].n, 0);
  assert_int_equal(v[1].n, 3);
  assert_int_equal(v[2].n, 0);
  const WayChord* const silent[] = {&none};
  assert_int_equal(way_voicings_lead(silent, 1, v), WAY_OK);
  assert_int_equal(v[0].n, 0);
}

static void test_memory_running_out(void** state) {
  (void)state;
  const WayChord c = chord_named("C");
  const WayChord* const list[] = {&c};
  WayVoicing v;
  for (long n = 1; n <= 3; ++n) {
    alloc_fail_at(n);
    assert_int_equal(way_voicings_lead(list, 1, &v), WAY_ERR_NO_MEMORY);
    alloc_fail_at(0);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_voicings_hold_tones_of_the_chord_in_range),
      cmocka_unit_test(test_drop_2),
      cmocka_unit_test(test_distance),
      cmocka_unit_test(test_no_round_moves_less),
      cmocka_unit_test(test_silence_is_passed_over),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
