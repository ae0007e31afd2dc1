#include "check.h"
#include "rng.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"
#include "theory/tones.h"

static const char* written(const WayChord* c) {
  static char buffer[WAY_SYMBOL_MAX];
  WayOut out = way_out(buffer, sizeof(buffer));
  way_chord_write(c, &out);
  assert_false(out.cut);
  return buffer;
}

#define N(number) WAY_TONE(number, 0)
#define F(number) WAY_TONE(number, -1)
#define S(number) WAY_TONE(number, 1)

// Common practice, no source: of several ways to write a chord, the shortest that a
// reader knows.  Most are tested where they are read.
static void test_the_plainest_symbol_is_written(void** state) {
  (void)state;
  static const struct {
    WayTones tones;
    const char* symbol;
  } cases[] = {
      {N(1) | N(3) | N(5), "C"},
      {N(1) | N(5), "C5"},
      {N(1) | F(3) | N(5) | F(7), "Cm7"},
      {N(1) | F(3) | F(5) | F(7), "Cm7b5"},
      {N(1) | N(3) | N(5) | F(7) | N(9) | N(13), "C13"},
      {N(1) | N(3) | F(7) | F(9) | S(9) | S(11) | F(13), "C7alt"},
      {N(1) | N(3) | F(7), "C7no5"},
      {N(1) | N(4) | N(5) | F(7) | F(9), "C7sus4b9"},
      {N(1) | N(3) | N(5) | N(6) | N(9), "C6/9"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayChord c = way_tones_chord(cases[i].tones, (WaySpelling){0, 0});
    assert_string_equal(written(&c), cases[i].symbol);
  }
  WayChord c = way_tones_chord(N(1) | N(3) | N(5), (WaySpelling){1, 0});
  c.bass = (WaySpelling){3, 1};
  assert_string_equal(written(&c), "D/F#");
  c = way_chord_none();
  assert_string_equal(written(&c), "N.C.");
}

// Property: read(write(x)) == x for any set of degrees, however unlikely.
static void test_any_set_of_degrees_survives_a_round_trip(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 200000; ++seed) {
    uint32_t rng = seed;
    WayTones t = rng_below(&rng, 8) ? WAY_TONE(1, 0) : 0;
    const uint32_t n = 1 + rng_below(&rng, WAY_CHORD_TONES_MAX - 1);
    const uint32_t wide = rng_below(&rng, 2);
    for (uint32_t i = 0; i < n; ++i) {
      const uint32_t slot = rng_below(&rng, 10);
      const uint32_t alter = wide ? rng_below(&rng, 5) : 1 + rng_below(&rng, 3);
      t |= (WayTones)1 << (5 * slot + alter);
    }
    const WayChord c = way_tones_chord(way_tones_normal(t), (WaySpelling){0, 0});
    WayChord back;
    WayError e;
    if (way_chord_read(way_text(written(&c)), &back, &e))
      fail_msg("seed %u: %s: column %u: %s", seed, written(&c), e.column, e.message);
    if (!way_chord_equal(&c, &back)) fail_msg("seed %u: %s", seed, written(&c));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_plainest_symbol_is_written),
      cmocka_unit_test(test_any_set_of_degrees_survives_a_round_trip),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
