#include "check.h"
#include "live/bend.h"
#include "rng.h"

// Message layouts and numbers of parameters: MIDI 1.0 Detailed Specification; zones:
// RP-053, MIDI Polyphonic Expression.

static WayBends bends;

static int start(void** state) {
  (void)state;
  way_bends_init(&bends, 2);
  return 0;
}

static uint16_t hear(unsigned a, unsigned b, unsigned c) {
  const uint8_t bytes[3] = {(uint8_t)a, (uint8_t)b, (uint8_t)c};
  return way_bends_hear(&bends, bytes);
}
static uint16_t bend(unsigned channel, unsigned value) {
  return hear(0xE0 | channel, value & 127, value >> 7);
}
static void parameter(unsigned channel, unsigned number, unsigned value) {
  hear(0xB0 | channel, 101, number >> 7);
  hear(0xB0 | channel, 100, number & 127);
  hear(0xB0 | channel, 6, value);
}

static void test_a_whole_bend_reaches_the_range(void** state) {
  (void)state;
  assert_int_equal(bend(0, 0), 1);
  assert_int_equal(way_bends_cents(&bends, 0), -200);
  assert_int_equal(bends.steps[0], -2);
  bend(0, 8192 + 4096);
  assert_int_equal(way_bends_cents(&bends, 0), 100);
  assert_int_equal(bends.steps[0], 1);
  assert_int_equal(way_bends_cents(&bends, 1), 0); // and no other channel
  way_bends_set_range(&bends, 12);
  assert_int_equal(way_bends_cents(&bends, 0), 600);
}

static void test_parameter_0_sets_the_range_of_its_channel(void** state) {
  (void)state;
  parameter(3, 0, 7);
  hear(0xB3, 38, 50); // and cents
  bend(3, 0);
  assert_int_equal(way_bends_cents(&bends, 3), -750);
  bend(4, 0);
  assert_int_equal(way_bends_cents(&bends, 4), -200);
  parameter(3, 1, 20); // another parameter
  assert_int_equal(way_bends_cents(&bends, 3), -750);
  parameter(3, 0, 2);
  hear(0xB3, 99, 0); // a parameter that is not registered
  hear(0xB3, 6, 40);
  assert_int_equal(way_bends_cents(&bends, 3), -250);
}

/// RP-018: for registered parameter 0 they move the LSB, which counts cents, by 1; the
/// value says nothing.
static void test_increments_move_the_range_by_cents(void** state) {
  (void)state;
  parameter(3, 0, 2);
  bend(3, 0);
  assert_int_equal(hear(0xB3, 97, 64), 1 << 3);
  assert_int_equal(way_bends_cents(&bends, 3), -199);
  for (int i = 0; i < 102; ++i) hear(0xB3, 96, 0);
  assert_int_equal(way_bends_cents(&bends, 3), -301);
  hear(0xB3, 98, 0); // a parameter that is not registered
  hear(0xB3, 96, 0);
  assert_int_equal(way_bends_cents(&bends, 3), -301);
  parameter(3, 0, 0);
  hear(0xB3, 38, 0);
  hear(0xB3, 97, 0); // not below none
  assert_int_equal(way_bends_cents(&bends, 3), 0);
  hear(0xB3, 38, 127); // a semitone has 100
  assert_int_equal(way_bends_cents(&bends, 3), -99);
}

static void test_a_zone_adds_its_masters_bend(void** state) {
  (void)state;
  parameter(0, 6, 5);
  assert_int_equal(way_bends_zone(&bends, 0), 0x3F);
  assert_true(way_bends_apart(&bends));
  bend(2, 8192 + 8192 / 48);
  assert_int_equal(bends.steps[2], 1);
  assert_int_equal(bend(0, 0), 0x3F); // the master bends every member
  assert_int_equal(bends.steps[2], -1);
  assert_int_equal(bends.steps[1], -2);
  assert_int_equal(bends.steps[6], 0); // not a member
  parameter(1, 0, 24);                 // counts for every member
  bend(2, 0);
  assert_int_equal(way_bends_cents(&bends, 2), -2600);
  parameter(0, 6, 0);
  assert_int_equal(way_bends_zone(&bends, 0), 0);
  assert_false(way_bends_apart(&bends));
}

static void test_the_newer_of_two_zones_has_its_way(void** state) {
  (void)state;
  parameter(0, 6, 10);
  parameter(15, 6, 7);
  assert_int_equal(way_bends_zone(&bends, 15), 0xFF00);
  assert_int_equal(way_bends_zone(&bends, 0), 0x00FF);
}

/// RP-053: a configuration message without members ends the zone.  Channels outside
/// zones are bent as any other: common practice, no source.
static void test_channels_that_leave_a_zone_bend_as_before(void** state) {
  (void)state;
  parameter(0, 6, 5);
  for (unsigned c = 0; c < 16; ++c) bend(c, 0);
  assert_int_equal(way_bends_cents(&bends, 5), -5000);
  parameter(0, 6, 2);
  way_bends_set_range(&bends, 7);
  assert_int_equal(way_bends_cents(&bends, 2), -5000);
  way_bends_set_range(&bends, 2);
  for (unsigned c = 3; c < 16; ++c) assert_int_equal(way_bends_cents(&bends, c), -200);
  parameter(15, 6, 14); // takes channel 2 and 3 away, and ends the other zone
  assert_int_equal(way_bends_zone(&bends, 0), 0);
  parameter(15, 6, 0);
  for (unsigned c = 0; c < 16; ++c) assert_int_equal(way_bends_cents(&bends, c), -200);
}

static void test_mono_makes_strings(void** state) {
  (void)state;
  hear(0xB0, 126, 6);
  assert_int_equal(bends.mono, 0x3F);
  assert_true(way_bends_apart(&bends));
  hear(0xB0, 127, 0);
  assert_false(way_bends_apart(&bends));
  hear(0xBA, 126, 0); // all from here up
  assert_int_equal(bends.mono, 0xFC00);
  hear(0xB0, 127, 0);
  hear(0xB4, 126, 1); // one voice on one channel is no string
  assert_false(way_bends_apart(&bends));
}

static void test_reset_unbends(void** state) {
  (void)state;
  bend(5, 0);
  hear(0xB5, 121, 0);
  assert_int_equal(bends.steps[5], 0);
}

static void test_any_messages_keep_it_in_range(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 200; ++seed) {
    uint32_t rng = seed * 2654435761u;
    way_bends_init(&bends, 2);
    for (int i = 0; i < 500; ++i) {
      static const uint8_t numbers[] = {6, 38, 96, 97, 98, 100, 101, 121, 126, 127};
      const unsigned channel = rng_below(&rng, 16), kind = rng_below(&rng, 3);
      if (kind)
        hear(0xB0 | channel, numbers[rng_below(&rng, WAY_COUNT(numbers))],
             rng_below(&rng, 128));
      else
        bend(channel, rng_below(&rng, 16384));
    }
    for (unsigned c = 0; c < 16; ++c) {
      const int cents = way_bends_cents(&bends, c);
      assert_in_range(cents + 20000, 20000 - 19200, 20000 + 19200);
      if (cents < 12600 && cents > -12600) {
        assert_true(100 * bends.steps[c] - cents <= 50);
        assert_true(cents - 100 * bends.steps[c] <= 50);
      }
    }
    assert_true(bends.members[0] + bends.members[1] <= 15);
  }
}

static void test_a_bend_moves_notes_as_far_as_there_are_numbers(void** state) {
  (void)state;
  bend(0, 16383); // two semitones up
  assert_int_equal(way_bends_pitch(&bends, 0, 60), 62);
  assert_int_equal(way_bends_number(&bends, 0, 62), 60);
  assert_int_equal(way_bends_pitch(&bends, 0, 126), 127);
  assert_int_equal(way_bends_number(&bends, 0, 1), 0);
  assert_int_equal(way_bends_pitch(&bends, 1, 60), 60);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_a_whole_bend_reaches_the_range, start),
      cmocka_unit_test_setup(test_a_bend_moves_notes_as_far_as_there_are_numbers,
                             start),
      cmocka_unit_test_setup(test_parameter_0_sets_the_range_of_its_channel, start),
      cmocka_unit_test_setup(test_increments_move_the_range_by_cents, start),
      cmocka_unit_test_setup(test_a_zone_adds_its_masters_bend, start),
      cmocka_unit_test_setup(test_the_newer_of_two_zones_has_its_way, start),
      cmocka_unit_test_setup(test_channels_that_leave_a_zone_bend_as_before, start),
      cmocka_unit_test_setup(test_mono_makes_strings, start),
      cmocka_unit_test_setup(test_reset_unbends, start),
      cmocka_unit_test_setup(test_any_messages_keep_it_in_range, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
