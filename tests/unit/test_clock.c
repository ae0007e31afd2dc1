#include "time/clock.h"

#include "check.h"
#include "rng.h"

#include <math.h>

static void test_places_on_a_plain_line(void** state) {
  (void)state;
  // 120 quarter notes per minute at 48000 frames per second: a quarter in 24000 frames.
  const WayClock c = {1000, 7680, WAY_TICKS_PER_QUARTER / 24000.0};
  assert_int_equal(way_clock_tick(&c, 1000), 7680);
  assert_int_equal(way_clock_tick(&c, 25000), 11520);
  assert_int_equal(way_clock_tick(&c, 24999), 11520); // the frame before: same tick
  assert_int_equal(way_clock_tick(&c, -23000), 3840);
  assert_int_equal(way_clock_tick(&c, 24990), 11518);
  assert_int_equal(way_clock_frame(&c, 7680), 997); // 3 frames are 0.48 of a tick
  assert_int_equal(way_clock_frame(&c, 11520), 24997);
}

static void test_a_stopped_clock_has_reached_its_past_only(void** state) {
  (void)state;
  static const double stopped[] = {0, -1, NAN, INFINITY};
  for (size_t i = 0; i < WAY_COUNT(stopped); ++i) {
    const WayClock c = {500, 960, stopped[i]};
    assert_int_equal(way_clock_tick(&c, INT64_MIN), 960);
    assert_int_equal(way_clock_tick(&c, INT64_MAX), 960);
    assert_int_equal(way_clock_frame(&c, 961), INT64_MAX);
    assert_int_equal(way_clock_frame(&c, 960), INT64_MIN);
  }
}

/// Property: `frame` is the first frame with way_clock_tick() at or past `tick`.
static void expect_first(const WayClock* c, WayTick tick, uint32_t seed) {
  const int64_t frame = way_clock_frame(c, tick);
  const bool reached = way_clock_tick(c, frame) >= tick;
  const bool before = frame > INT64_MIN && way_clock_tick(c, frame - 1) >= tick;
  if ((!reached && frame != INT64_MAX) || before)
    fail_msg("seed %u: tick %lld of {%lld, %g, %g} gives frame %lld", seed,
             (long long)tick, (long long)c->frame, c->tick, c->ticks_per_frame,
             (long long)frame);
}

static void test_frame_inverts_tick(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 20000; ++seed) {
    uint32_t rng = seed;
    WayClock c = {rng_below(&rng, 1u << 30), rng_below(&rng, 1u << 30), 0};
    c.tick += rng_below(&rng, 1000) / 1000.0;
    c.ticks_per_frame = (1 + rng_below(&rng, 10000)) / 10000.0;
    const int64_t frame = c.frame + (int64_t)rng_below(&rng, 2000000) - 1000000;
    expect_first(&c, way_clock_tick(&c, frame), seed);
    expect_first(&c, (WayTick)c.tick + rng_below(&rng, 100000), seed);
    if (way_clock_tick(&c, frame) > way_clock_tick(&c, frame + 1))
      fail_msg("seed %u: time runs backwards", seed);
  }
}

static void test_absurd_clocks_stay_exact(void** state) {
  (void)state;
  static const int64_t ends[] = {INT64_MIN, INT64_MIN + 1, -WAY_TICK_FAR, -1,       0,
                                 1,         WAY_TICK_FAR,  INT64_MAX - 1, INT64_MAX};
  static const double ticks[] = {-INFINITY,           -1e300, -9e18, -0.5,     0,
                                 0.49999999999999994, 9e18,   1e300, INFINITY, NAN};
  static const double speeds[] = {0, 5e-324, 1e-300, 1e-9, 1, 1e9, 1e300, INFINITY, -3};
  for (size_t f = 0; f < WAY_COUNT(ends); ++f)
    for (size_t t = 0; t < WAY_COUNT(ticks); ++t)
      for (size_t s = 0; s < WAY_COUNT(speeds); ++s)
        for (size_t at = 0; at < WAY_COUNT(ends); ++at) {
          const WayClock c = {ends[f], ticks[t], speeds[s]};
          expect_first(&c, ends[at], 0);
          const WayTick tick = way_clock_tick(&c, ends[at]);
          assert_in_range((uint64_t)tick + (uint64_t)WAY_TICK_FAR, 0,
                          2 * (uint64_t)WAY_TICK_FAR);
          expect_first(&c, tick, 0);
        }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_places_on_a_plain_line),
      cmocka_unit_test(test_a_stopped_clock_has_reached_its_past_only),
      cmocka_unit_test(test_frame_inverts_tick),
      cmocka_unit_test(test_absurd_clocks_stay_exact),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
