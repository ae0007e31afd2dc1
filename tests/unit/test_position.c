#include "draw/position.h"

#include "rng.h"
#include "theory.h"

static WayPcSet notes(const char* scale) {
  WayScale s;
  assert_int_equal(way_scale_read(way_text(scale), &s, NULL), WAY_OK);
  return way_scale_pcs(&s);
}

// Common practice, no source: where players learn these scales first, without
// stretches.
static void test_first_positions(void** state) {
  (void)state;
  static const struct {
    const char* scale;
    WayPc root;
    unsigned first, last;
  } cases[] = {{"A minor pentatonic", 9, 5, 8},
               {"G major", 7, 0, 4},
               {"C minor pentatonic", 0, 8, 11},
               {"Bb minor pentatonic", 10, 6, 9}};
  const WayTuning guitar = way_tuning(0);
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayPosition p =
        way_position_best(&guitar, 0, notes(cases[i].scale), cases[i].root);
    if (p.first != cases[i].first || p.last != cases[i].last || p.stretches || p.gaps)
      fail_msg("%s: %u-%u, %u stretches, %u gaps", cases[i].scale, p.first, p.last,
               p.stretches, p.gaps);
  }
}

/// A window looked at place by place.
typedef struct {
  bool shown[256];   ///< Pitches of the set in the window
  bool reached[256]; ///< Pitches of the set that fingers or stretches reach
  int high;          ///< The highest under the fingers; -1 for none
} Seen;

static void see(Seen* seen, const WayPosition* p, unsigned capo, unsigned fret,
                int pitch) {
  const bool open = fret == capo && p->position == capo + 1;
  const bool finger = fret >= p->position && fret < p->position + 4u;
  if (fret + 1 < p->position) return;
  seen->reached[pitch] = true;
  if (fret >= p->first && fret <= p->last) seen->shown[pitch] = true;
  if ((open || finger) && pitch > seen->high) seen->high = pitch;
}

static Seen look(const WayTuning* tuning, unsigned capo, WayPcSet set,
                 const WayPosition* p) {
  Seen seen = {.high = -1};
  for (unsigned s = 0; s < tuning->n; ++s)
    for (unsigned fret = capo; fret <= p->position + 4u; ++fret) {
      const int pitch = tuning->open[s] + (int)fret;
      if (way_pcs_has(set, way_pc(pitch))) see(&seen, p, capo, fret, pitch);
    }
  return seen;
}

// Every pitch between the lowest and the highest has a place in the window, unless it
// is counted as a gap.
static void test_windows_hold_what_they_say(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 2000; ++seed) {
    uint32_t rng = seed;
    const WayTuning tuning = way_tuning(rng_below(&rng, way_tuning_count()));
    const unsigned capo = rng_below(&rng, 3) ? 0 : rng_below(&rng, 8);
    const WayPcSet set = (WayPcSet)(rng_below(&rng, 4095) + 1);
    const WayPosition p =
        way_position_at(&tuning, capo, set, capo + 1 + rng_below(&rng, WAY_POSITIONS));
    const Seen seen = look(&tuning, capo, set, &p);
    unsigned gaps = 0;
    for (int pitch = p.low; pitch <= seen.high; ++pitch) {
      if (!way_pcs_has(set, way_pc(pitch))) continue;
      gaps += !seen.reached[pitch];
      if (seen.reached[pitch] != seen.shown[pitch])
        fail_msg("seed %u: pitch %d", seed, pitch);
    }
    assert_int_equal(gaps, p.gaps);
    assert_true(p.first >= capo && p.last - p.first <= 5);
  }
}

static void test_the_best_is_better_than_all(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 300; ++seed) {
    uint32_t rng = seed;
    const WayTuning tuning = way_tuning(rng_below(&rng, way_tuning_count()));
    const WayPcSet set = (WayPcSet)(rng_below(&rng, 4095) + 1);
    const WayPosition best = way_position_best(&tuning, 0, set, 0);
    for (unsigned at = 1; at <= WAY_POSITIONS; ++at) {
      const WayPosition p = way_position_at(&tuning, 0, set, at);
      assert_true(best.gaps < p.gaps ||
                  (best.gaps == p.gaps && best.stretches <= p.stretches));
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_first_positions),
      cmocka_unit_test(test_windows_hold_what_they_say),
      cmocka_unit_test(test_the_best_is_better_than_all),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
