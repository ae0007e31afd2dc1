#include "check.h"
#include "live/settling.h"

static WayBends bends;
static WaySettling settling;

static void start(void) {
  way_bends_init(&bends, 2);
  way_settling_init(&settling);
}

/// A pitch bend of a channel, in cents of two semitones.
static void bend(unsigned channel, int cents, int64_t settled) {
  const unsigned value = (unsigned)(8192 + cents * 8191 / 200);
  const uint8_t bytes[3] = {(uint8_t)(0xE0 | channel), value & 127, value >> 7 & 127};
  way_settling_follow(&settling, &bends, way_bends_hear(&bends, bytes), settled);
}

static void test_a_bend_settles_once_it_rests(void** state) {
  (void)state;
  start();
  assert_int_equal(settling.due, INT64_MAX);
  bend(3, 60, 100); // on its way
  assert_int_equal(settling.due, INT64_MAX);
  bend(3, 90, 200);
  assert_int_equal(settling.due, 200);
  bend(3, 105, 300); // still on the same pitch
  assert_int_equal(settling.due, 200);
  way_settling_tell(&settling, &bends, 3);
  assert_int_equal(settling.due, INT64_MAX);
  assert_int_equal(settling.told[3], 1);
  bend(3, 95, 400); // nothing new
  assert_int_equal(settling.due, INT64_MAX);
}

static void test_a_bend_that_passes_by_is_not_told(void** state) {
  (void)state;
  start();
  bend(0, 100, 200);
  bend(0, 150, 250);
  assert_int_equal(settling.due, INT64_MAX);
  bend(0, 200, 300);
  assert_int_equal(settling.due, 300);
  bend(0, 0, 350); // back where it was told
  assert_int_equal(settling.due, INT64_MAX);
}

static void test_the_first_channel_is_due(void** state) {
  (void)state;
  start();
  bend(5, 100, 700);
  bend(2, -100, 600);
  assert_int_equal(settling.due, 600);
  way_settling_tell(&settling, &bends, 2);
  assert_int_equal(settling.due, 700);
  assert_int_equal(settling.told[2], -1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_bend_settles_once_it_rests),
      cmocka_unit_test(test_a_bend_that_passes_by_is_not_told),
      cmocka_unit_test(test_the_first_channel_is_due),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
