#include "check.h"
#include "played.h"
#include "take/walk.h"

static void test_a_walk(void** state) {
  (void)state;
  WayTake* const take =
      take_played((const Played[]){{0, 8, 60}, {1, 2, 62}, {2, 1, 64}, {5, 1, 65}}, 4);
  const WayTick q = WAY_TICKS_PER_QUARTER;
  WayWalk w;
  assert_int_equal(way_walk_new(take, &w), WAY_OK);
  assert_int_equal(way_walk_sounding(&w, 0), WAY_NO_NOTE);
  assert_int_equal(way_walk_next_before(&w, 0), WAY_NO_NOTE);
  assert_int_equal(way_walk_next_before(&w, 1), 0);
  way_walk_pass(&w, 2 * q);
  assert_int_equal(w.next, 2);
  assert_int_equal(way_walk_sounding(&w, 2 * q), 1);
  way_walk_pass(&w, 4 * q);
  assert_int_equal(way_walk_sounding(&w, 4 * q), 0); // the others have ended
  way_walk_pass(&w, 100 * q);
  assert_int_equal(way_walk_sounding(&w, 8 * q), WAY_NO_NOTE);
  assert_int_equal(way_walk_next_before(&w, INT64_MAX), WAY_NO_NOTE);
  way_walk_free(&w);
  way_take_free(take);
}

// Latest begun, not latest ended: docs/review.md.
static void test_the_latest_begun_counts(void** state) {
  (void)state;
  WayTake* const take = take_played((const Played[]){{0, 8, 60}, {1, 5, 62}}, 2);
  WayWalk w;
  assert_int_equal(way_walk_new(take, &w), WAY_OK);
  way_walk_pass(&w, 4 * WAY_TICKS_PER_QUARTER);
  assert_int_equal(way_walk_sounding(&w, 4 * WAY_TICKS_PER_QUARTER), 1);
  way_walk_free(&w);
  way_take_free(take);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_walk),
      cmocka_unit_test(test_the_latest_begun_counts),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
