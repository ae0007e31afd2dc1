#include "draw/trail.h"

#include "check.h"

static const WayBox box = {10, 20, 400, 80};

static void test_time_runs_to_the_right_edge(void** state) {
  (void)state;
  const WayTrailLayout l = way_trail_layout(NULL, 0, 5000, 4000, 12, box);
  assert_near(way_trail_x(&l, 1000), 10, 1e-9);
  assert_near(way_trail_x(&l, 3000), 210, 1e-9);
  assert_near(way_trail_x(&l, 5000), 410, 1e-9);
}

// The range holds all notes shown, and takes steps so that it seldom moves.
static void test_the_range_holds_what_is_shown(void** state) {
  (void)state;
  WayTrailNote notes[] = {
      {0, 10, 20, {0}}, {2000, 2100, 62, {0}}, {4900, 5000, 66, {0}}};
  WayTrailLayout l = way_trail_layout(notes, 3, 5000, 4000, 12, box);
  assert_true(l.low <= 62 && l.high >= 66 && l.low > 40);
  assert_true(l.high - l.low >= 18);
  for (int pitch = 0; pitch < 128; ++pitch) {
    notes[1].pitch = (uint8_t)pitch;
    l = way_trail_layout(notes, 3, 5000, 4000, 12, box);
    const double y = way_trail_y(&l, pitch);
    assert_true(y - l.radius >= 20 - 1e-9 && y + l.radius <= 100 + 1e-9);
    assert_true(way_trail_y(&l, 66) < way_trail_y(&l, 62));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_time_runs_to_the_right_edge),
      cmocka_unit_test(test_the_range_holds_what_is_shown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
