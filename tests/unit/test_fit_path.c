#include "alloc.h"
#include "check.h"
#include "rng.h"
#include "take/fit_path.h"

#include <stdlib.h>

static void allow(WayFitStep* s, unsigned pitch) {
  s->to[pitch >> 6] |= UINT64_C(1) << (pitch & 63);
}

static int sign(int x) { return (x > 0) - (x < 0); }

static WayFitCost cost_of(const WayFitStep* steps, size_t n, const uint8_t* way) {
  WayFitCost all = {0};
  for (size_t i = 0; i < n; ++i) {
    const WayFitCost c = way_fit_cost(steps, i, i ? way[i - 1] : 0, way[i]);
    all.left += c.left;
    all.moved += c.moved;
    all.bent += c.bent;
  }
  return all;
}

static int compare(WayFitCost a, WayFitCost b) {
  if (a.left != b.left) return a.left < b.left ? -1 : 1;
  if (a.moved != b.moved) return a.moved < b.moved ? -1 : 1;
  return a.bent < b.bent ? -1 : a.bent > b.bent;
}

/// Every way there is, one after the other: the reference.
typedef struct {
  const WayFitStep* steps;
  size_t n;
  uint8_t way[8];
  bool found;
  WayFitCost best;
} Search;

static void try_from(Search* s, size_t i) {
  if (i == s->n) {
    const WayFitCost cost = cost_of(s->steps, s->n, s->way);
    if (!s->found || compare(cost, s->best) < 0) s->best = cost;
    s->found = true;
    return;
  }
  const WayFitStep* const step = &s->steps[i];
  for (unsigned p = 0; p < 128; ++p) {
    if (p != step->pitch && !way_fit_step_has(step, p)) continue;
    if (i && sign((int)p - s->way[i - 1]) != sign(step->pitch - step[-1].pitch))
      continue;
    s->way[i] = (uint8_t)p;
    try_from(s, i + 1);
  }
}

/// A random melody of 1 to 6 notes with up to five choices each, near each other.
static size_t random_melody(uint32_t* rng, WayFitStep* steps) {
  const size_t n = 1 + rng_below(rng, 6);
  for (size_t i = 0; i < n; ++i) {
    WayFitStep* const s = &steps[i];
    *s = (WayFitStep){.pitch = (uint8_t)(60 + rng_below(rng, 8)),
                      .weight = (uint16_t)(1 + rng_below(rng, 4))};
    s->price = rng_below(rng, 3) * s->weight;
    for (uint32_t k = rng_below(rng, 6); k--;) allow(s, 56 + rng_below(rng, 16));
  }
  return n;
}

static void test_no_way_is_cheaper(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 5000; ++seed) { // the seed alone replays a failure
    uint32_t rng = seed;
    WayFitStep steps[8];
    uint8_t way[8];
    Search s = {.steps = steps};
    s.n = random_melody(&rng, steps);
    assert_int_equal(way_fit_path(steps, s.n, way), WAY_OK);
    for (size_t i = 0; i < s.n; ++i) {
      if (way[i] != steps[i].pitch && !way_fit_step_has(&steps[i], way[i]))
        fail_msg("seed %u: note %zu went to %u, which is not allowed", seed, i, way[i]);
      if (i && sign(way[i] - way[i - 1]) != sign(steps[i].pitch - steps[i - 1].pitch))
        fail_msg("seed %u: the shape changes at note %zu", seed, i);
    }
    try_from(&s, 0);
    const WayFitCost cost = cost_of(steps, s.n, way);
    if (compare(cost, s.best))
      fail_msg("seed %u: %lu %lu %lu, but there is %lu %lu %lu", seed,
               (unsigned long)cost.left, (unsigned long)cost.moved,
               (unsigned long)cost.bent, (unsigned long)s.best.left,
               (unsigned long)s.best.moved, (unsigned long)s.best.bent);
  }
}

static void test_the_cheaper_whole_beats_the_nearest_note(void** state) {
  (void)state;
  // Note by note the first would go down to 59; then the second has no place below it.
  WayFitStep steps[] = {{{0}, 5, 1, 60}, {{0}, 5, 1, 59}};
  allow(&steps[0], 59);
  allow(&steps[0], 63);
  allow(&steps[1], 60);
  uint8_t way[2];
  assert_int_equal(way_fit_path(steps, 2, way), WAY_OK);
  assert_int_equal(way[0], 63);
  assert_int_equal(way[1], 60);
}

static void test_a_heavy_note_moves_less(void** state) {
  (void)state;
  WayFitStep steps[] = {{{0}, 5, 1, 60}, {{0}, 5, 9, 61}};
  allow(&steps[0], 58);
  allow(&steps[0], 62);
  allow(&steps[1], 60);
  allow(&steps[1], 67);
  uint8_t way[2];
  assert_int_equal(way_fit_path(steps, 2, way), WAY_OK);
  assert_int_equal(way[0], 58);
  assert_int_equal(way[1], 60);
}

static void test_all_of_midi_and_nothing(void** state) {
  (void)state;
  WayFitStep steps[] = {{{~UINT64_C(0), ~UINT64_C(0)}, 1, 1, 0},
                        {{0, UINT64_C(1) << 63}, 1, 1, 1}};
  uint8_t way[2] = {9, 9};
  assert_int_equal(way_fit_path(steps, 0, way), WAY_OK);
  assert_int_equal(way[0], 9);
  assert_int_equal(way_fit_path(steps, 2, way), WAY_OK);
  assert_int_equal(way[0], 0);
  assert_int_equal(way[1], 127);
}

static void test_memory_running_out(void** state) {
  (void)state;
  const WayFitStep steps[] = {{{0}, 1, 1, 60}, {{0}, 1, 1, 62}};
  uint8_t way[2] = {9, 9};
  for (long n = 1; n <= 2; ++n) {
    alloc_fail_at(n);
    assert_int_equal(way_fit_path(steps, 2, way), WAY_ERR_NO_MEMORY);
    alloc_fail_at(0);
    assert_int_equal(way[0], 9);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_no_way_is_cheaper),
      cmocka_unit_test(test_the_cheaper_whole_beats_the_nearest_note),
      cmocka_unit_test(test_a_heavy_note_moves_less),
      cmocka_unit_test(test_all_of_midi_and_nothing),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
