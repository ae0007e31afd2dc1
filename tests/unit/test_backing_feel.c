#include "check.h"
#include "take/backing_feel.h"

#include <stdbool.h>

static const WayMetre four = {4, 4};

/// One bar of a pattern: hits in order, none into the next.
static void check_bar(WayFeel feel, WayFeelPart part, WayMetre m, uint32_t bar) {
  WayHit hits[WAY_HITS_MAX];
  const unsigned n = way_feel_bar(feel, part, m, bar, hits);
  assert_in_range(n, 1, WAY_HITS_MAX);
  for (unsigned i = 0; i < n; ++i) {
    assert_true(hits[i].length > 0);
    const WayTick end = i + 1 < n ? hits[i + 1].start : way_metre_bar(m);
    if (hits[i].start + hits[i].length > end)
      fail_msg("%s %u/%u: hit %u is too long", way_feel_name(feel), m.beats, m.unit, i);
  }
}

static void test_patterns_fill_every_metre_and_stay_inside(void** state) {
  (void)state;
  for (unsigned feel = 0; feel < WAY_FEEL_COUNT; ++feel)
    for (unsigned part = 0; part < WAY_FEEL_PARTS; ++part)
      for (uint8_t beats = 1; beats <= 64; ++beats)
        for (uint8_t unit = 1; unit <= 64; unit = (uint8_t)(2 * unit))
          for (uint32_t bar = 0; bar < 2; ++bar)
            check_bar((WayFeel)feel, (WayFeelPart)part, (WayMetre){beats, unit}, bar);
}

static void test_the_bass_begins_every_bar(void** state) {
  (void)state;
  for (unsigned feel = 0; feel < WAY_FEEL_COUNT; ++feel) {
    WayHit hits[WAY_HITS_MAX];
    way_feel_bar((WayFeel)feel, WAY_FEEL_BASS, four, 1, hits);
    assert_int_equal(hits[0].start, 0);
    assert_int_equal(hits[0].tone, WAY_BASS_ROOT);
  }
}

// Common practice, no source: swung eighths stand on the last third of the beat, and a
// walking bass has a note on each.
static void test_swing(void** state) {
  (void)state;
  WayHit hits[WAY_HITS_MAX];
  assert_int_equal(way_feel_bar(WAY_FEEL_SWING, WAY_FEEL_COMPING, four, 0, hits), 2);
  assert_int_equal(hits[1].start, WAY_TICKS_PER_QUARTER * 5 / 3);
  assert_false(hits[1].accent);
  assert_int_equal(way_feel_bar(WAY_FEEL_SWING, WAY_FEEL_BASS, four, 0, hits), 4);
  for (int i = 0; i < 4; ++i)
    assert_int_equal(hits[i].start, i * WAY_TICKS_PER_QUARTER);
  assert_int_equal(hits[3].tone, WAY_BASS_APPROACH);
}

// Common practice, no source: the bass has one, the chords two and three.
static void test_waltz(void** state) {
  (void)state;
  WayHit hits[WAY_HITS_MAX];
  const WayMetre three = {3, 4};
  assert_int_equal(way_feel_bar(WAY_FEEL_WALTZ, WAY_FEEL_COMPING, three, 0, hits), 2);
  assert_int_equal(hits[0].start, WAY_TICKS_PER_QUARTER);
  assert_int_equal(hits[1].start, 2 * WAY_TICKS_PER_QUARTER);
  assert_int_equal(way_feel_of_metre(three), WAY_FEEL_WALTZ);
  assert_int_equal(way_feel_of_metre(four), WAY_FEEL_STRAIGHT);
}

static void test_cells(void** state) {
  (void)state;
  WayHit hits[WAY_HITS_MAX];
  // 5/4: the bass of three, then that of two.
  assert_int_equal(
      way_feel_bar(WAY_FEEL_STRAIGHT, WAY_FEEL_BASS, (WayMetre){5, 4}, 0, hits), 4);
  assert_int_equal(hits[2].start, 3 * WAY_TICKS_PER_QUARTER);
  assert_int_equal(hits[2].tone, WAY_BASS_ROOT);
  // 6/8: in threes.
  assert_int_equal(
      way_feel_bar(WAY_FEEL_STRAIGHT, WAY_FEEL_BASS, (WayMetre){6, 8}, 0, hits), 4);
  assert_int_equal(hits[2].start, 3 * WAY_TICKS_PER_QUARTER / 2);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_patterns_fill_every_metre_and_stay_inside),
      cmocka_unit_test(test_the_bass_begins_every_bar),
      cmocka_unit_test(test_swing),
      cmocka_unit_test(test_waltz),
      cmocka_unit_test(test_cells),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
