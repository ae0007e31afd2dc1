#include "live/intake.h"

#include "check.h"

static WaySettings settings;
static WayBends bends;

static int start(void** state) {
  (void)state;
  settings = way_settings_default();
  way_bends_init(&bends, settings.bend_range);
  return 0;
}

static WayIntake laid_out(void) { return way_intake(&settings, &bends); }

/// Whether a key is melody, by channel (from 1) and number.
static bool is_melody(unsigned channel, unsigned number) {
  const WayIntake in = laid_out();
  const WayKeyIndex key = way_key_index(channel - 1, number);
  return !way_intake_is_chord(&in, key) && way_intake_is_melody(&in, key);
}

static bool is_chord(unsigned channel, unsigned number) {
  const WayIntake in = laid_out();
  return way_intake_is_chord(&in, way_key_index(channel - 1, number));
}

// The expectations are those of the settings' descriptions in docs/guide.md.

static void test_at_first_all_notes_are_plain_melody(void** state) {
  (void)state;
  assert_true(laid_out().plain);
  assert_false(laid_out().remembers);
  assert_true(is_melody(1, 0) && is_melody(16, 127));
  assert_false(is_chord(1, 0) || is_chord(16, 127));
}

static void test_channel_and_range_choose_the_melody(void** state) {
  (void)state;
  settings.melody_channel = 3;
  settings.range_low = 60;
  settings.range_high = 70;
  assert_true(is_melody(3, 60) && is_melody(3, 70));
  assert_false(is_melody(3, 59) || is_melody(3, 71) || is_melody(2, 60));
  settings.range_low = 71; // above the highest
  for (unsigned number = 0; number < 128; ++number) assert_false(is_melody(3, number));
}

// MIDI Polyphonic Expression, RP-053: registered parameter 6 on channel 1 makes a zone.
static void test_a_zone_goes_with_its_master(void** state) {
  (void)state;
  settings.melody_channel = 1;
  assert_false(is_melody(3, 60));
  way_bends_hear(&bends, (const uint8_t[]){0xB0, 101, 0});
  way_bends_hear(&bends, (const uint8_t[]){0xB0, 100, 6});
  way_bends_hear(&bends, (const uint8_t[]){0xB0, 6, 2});
  assert_true(is_melody(1, 60) && is_melody(2, 60) && is_melody(3, 60));
  assert_false(is_melody(4, 60));
}

static void test_chords_have_a_channel_or_lie_below_the_split(void** state) {
  (void)state;
  settings.chord_channel = 3;
  settings.split_key = 56;
  assert_false(way_intake_has_chords(&settings) || is_chord(3, 40));
  settings.source = WAY_SOURCE_CHANNEL;
  assert_true(way_intake_has_chords(&settings) && is_chord(3, 127));
  assert_false(is_melody(3, 127) || is_chord(2, 40));
  settings.source = WAY_SOURCE_HELD;
  settings.melody_channel = 2;
  assert_true(way_intake_has_chords(&settings) && is_chord(2, 55));
  assert_false(is_melody(2, 55) || is_chord(2, 56) || is_chord(3, 55));
  assert_true(is_melody(2, 56));
}

static void test_tags_are_refused_where_bends_are_apart(void** state) {
  (void)state;
  settings.tag_channel = 4;
  assert_int_equal(laid_out().tag_channel, 4);
  settings.strings = true;
  assert_int_equal(laid_out().tag_channel, 0);
}

/// The channels of the tags for a channel (from 1), as bits.
static unsigned tags_for(unsigned channel) {
  const WayIntake in = laid_out();
  return way_intake_tags(&in, channel - 1);
}

static void test_which_channels_go_to_the_tags(void** state) {
  (void)state;
  assert_int_equal(tags_for(1), 0);
  settings.tag_channel = 4;
  assert_int_equal(tags_for(1), 1 << 3 | 1 << 4 | 1 << 5);
  settings.melody_channel = 2;
  assert_int_equal(tags_for(1), 0);
  assert_int_equal(tags_for(2), 1 << 3 | 1 << 4 | 1 << 5);
  settings.chord_channel = 2;
  settings.source = WAY_SOURCE_CHANNEL;
  assert_int_equal(tags_for(2), 0);
  settings.source = WAY_SOURCE_HELD; // the melody's own channel
  assert_int_equal(tags_for(2), 1 << 3 | 1 << 4 | 1 << 5);
  settings.enabled = false;
  assert_int_equal(tags_for(2), 0);
}

static void test_what_keeps_notes_from_being_plain(void** state) {
  for (int what = 0; what < 7; ++what) {
    start(state);
    if (what == 0) settings.handling = WAY_HANDLING_SNAP;
    if (what == 1) settings.grace = 20;
    if (what == 2) settings.strum = 20;
    if (what == 3) settings.source = WAY_SOURCE_CHANNEL;
    if (what == 4) settings.melody_channel = 1;
    if (what == 5) settings.range_high = 126;
    if (what == 6) way_bends_hear(&bends, (const uint8_t[]){0xE0, 0, 127});
    if (laid_out().plain) fail_msg("%d", what);
    assert_int_equal(laid_out().remembers, what == 1 || what == 2);
  }
}

static void test_chords_come_by_another_way(void** state) {
  (void)state;
  WaySettings other = settings;
  other.chord_channel = 5;
  other.source = WAY_SOURCE_TRACK;
  assert_false(way_intake_moves_chords(&settings, &other)); // not by the melody input
  other.source = settings.source = WAY_SOURCE_CHANNEL;
  assert_true(way_intake_moves_chords(&settings, &other));
  settings.chord_channel = 5;
  assert_false(way_intake_moves_chords(&settings, &other));
  other.source = WAY_SOURCE_HELD;
  assert_true(way_intake_moves_chords(&settings, &other));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_at_first_all_notes_are_plain_melody, start),
      cmocka_unit_test_setup(test_channel_and_range_choose_the_melody, start),
      cmocka_unit_test_setup(test_a_zone_goes_with_its_master, start),
      cmocka_unit_test_setup(test_chords_have_a_channel_or_lie_below_the_split, start),
      cmocka_unit_test_setup(test_tags_are_refused_where_bends_are_apart, start),
      cmocka_unit_test_setup(test_which_channels_go_to_the_tags, start),
      cmocka_unit_test_setup(test_what_keeps_notes_from_being_plain, start),
      cmocka_unit_test_setup(test_chords_come_by_another_way, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
