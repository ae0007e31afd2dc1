#include "check.h"
#include "live/hearing.h"
#include "theory/chord_write.h"

#define RATE 2000.0
#define MS (int64_t)2 // frames
#define HALF 1        // what way_follow_later() leaves for rounding: half a millisecond

static WayFollow stopped;
static WayHearing hearing;

static int start(void** state) {
  (void)state;
  way_follow_init(&stopped, RATE);
  way_hearing_init(&hearing);
  return 0;
}

static void strike(int64_t frame, uint8_t number, double strum) {
  way_hearing_strike(&hearing, &stopped, frame, 0, number, strum);
}

static void lift(int64_t frame, uint8_t number, double stays) {
  way_hearing_lift(&hearing, &stopped, frame, 0, number, stays);
}

/// Read the notes; "" if they are no chord.
static const char* settled(void) {
  static char text[WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  if (way_hearing_settle(&hearing, NULL)) way_chord_write(&hearing.listen.chord, &out);
  return text;
}

static void test_at_first_nothing_is_due(void** state) {
  (void)state;
  assert_true(hearing.settle_due == INT64_MAX);
  assert_true(hearing.forget_due == INT64_MAX);
  assert_false(way_hearing_silent(&hearing));
}

static void test_without_strum_keys_are_read_at_once(void** state) {
  (void)state;
  strike(10 * MS, 60, 0);
  assert_int_equal(hearing.settle_due, 10 * MS);
  strike(11 * MS, 64, 0);
  strike(12 * MS, 67, 0);
  assert_int_equal(hearing.settle_due, 12 * MS);
  assert_string_equal(settled(), "C");
  assert_true(hearing.settle_due == INT64_MAX);
  assert_int_equal(way_hearing_began(&hearing, &stopped, 12 * MS, 0), 12 * MS);
}

static void test_keys_that_join_are_the_same_chord(void** state) {
  (void)state;
  strike(0, 48, 0);
  strike(1 * MS, 52, 0);
  assert_string_equal(settled(), ""); // two keys
  strike(2 * MS, 55, 0);
  assert_string_equal(settled(), "C");
  assert_false(hearing.again);
  strike(3 * MS, 59, 0);
  assert_string_equal(settled(), "Cmaj7");
  assert_true(hearing.again);
  strike(500 * MS, 45, 0); // overlaps
  strike(501 * MS, 60, 0);
  strike(502 * MS, 64, 0);
  assert_string_equal(settled(), "Am");
  assert_false(hearing.again);
}

static void test_a_strum_is_awaited_but_not_for_ever(void** state) {
  (void)state;
  strike(0, 48, 0.05);
  assert_int_equal(hearing.settle_due, 50 * MS + HALF);
  strike(40 * MS, 52, 0.05);
  assert_int_equal(hearing.settle_due, 90 * MS + HALF);
  strike(80 * MS, 55, 0.05);
  strike(120 * MS, 60, 0.05);
  assert_int_equal(hearing.settle_due, WAY_STRUMS * 50 * MS + HALF);
  assert_int_equal(way_hearing_began(&hearing, &stopped, 151 * MS, 0.05), 1 * MS);
  strike(130 * MS, 64, 0.05); // 50 ms after the last: still the same strum
  assert_int_equal(hearing.struck_first, 0);
  strike(211 * MS, 67, 0.05); // and this one is another
  assert_int_equal(hearing.struck_first, 211 * MS);
}

static void test_silence_lasts_before_a_chord_is_forgotten(void** state) {
  (void)state;
  static const uint8_t keys[] = {60, 64, 67};
  for (unsigned i = 0; i < 3; ++i) strike(0, keys[i], 0);
  assert_string_equal(settled(), "C");
  lift(100 * MS, 60, 0.5);
  lift(110 * MS, 64, 0.5);
  assert_true(hearing.forget_due == INT64_MAX); // one key is down
  lift(120 * MS, 67, 0.5);
  assert_int_equal(hearing.forget_due, 620 * MS + HALF);
  assert_int_equal(hearing.silent_since, 120 * MS);
  lift(130 * MS, 67, 0.5); // is up already
  assert_int_equal(hearing.forget_due, 620 * MS + HALF);
  assert_false(way_hearing_silent(&hearing));
  hearing.forget_due = INT64_MAX; // it has come
  assert_true(way_hearing_silent(&hearing));
}

static void test_where_no_time_is_set_it_stays_for_a_while(void** state) {
  (void)state;
  strike(0, 60, 0);
  lift(100 * MS, 60, 0);
  assert_int_equal(hearing.forget_due,
                   100 * MS + (int64_t)(WAY_HEARD_STAYS * RATE) + HALF);
}

static void test_pedal_and_clearing_let_go_too(void** state) {
  (void)state;
  way_hearing_pedal(&hearing, &stopped, 0, 0, true, 0.5);
  strike(0, 60, 0);
  lift(10 * MS, 60, 0.5);
  assert_true(hearing.forget_due == INT64_MAX); // the pedal holds it
  way_hearing_pedal(&hearing, &stopped, 20 * MS, 0, false, 0.5);
  assert_int_equal(hearing.forget_due, 520 * MS + HALF);
  strike(600 * MS, 60, 0);
  way_hearing_clear(&hearing, &stopped, 700 * MS, 0, 0.5);
  assert_int_equal(hearing.forget_due, 1200 * MS + HALF);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_at_first_nothing_is_due, start),
      cmocka_unit_test_setup(test_without_strum_keys_are_read_at_once, start),
      cmocka_unit_test_setup(test_keys_that_join_are_the_same_chord, start),
      cmocka_unit_test_setup(test_a_strum_is_awaited_but_not_for_ever, start),
      cmocka_unit_test_setup(test_silence_lasts_before_a_chord_is_forgotten, start),
      cmocka_unit_test_setup(test_where_no_time_is_set_it_stays_for_a_while, start),
      cmocka_unit_test_setup(test_pedal_and_clearing_let_go_too, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
