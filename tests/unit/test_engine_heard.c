// Chords that come in by the chord track, a channel, or keys below the split.

#include "guided.h"

static void test_the_chord_track_is_heard_and_kept_back(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_TRACK;
  use();
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x30\x34\x37"); // C E G
  on(10, 64);
  assert_string_equal(marked(), "10 change C; 10 role 3 chord tone over C; "
                                "10 landing 3 chord tone over C");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x80, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x90, "\x30\x35\x39"); // C F A
  way_engine_advance(&engine, 21, &sink);
  assert_string_equal(marked(), "20 change F/C; 20 landing held 7 other over F/C");
  assert_string_equal(sent(), "10:90.64 ");
}

static void test_chords_may_overlap(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_TRACK;
  use();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");     // C E G
  hear_chord(WAY_INPUT_CHORDS, 48000, 0x90, "\x35\x39\x3C"); // F A C
  hear_chord(WAY_INPUT_CHORDS, 48500, 0x80, "\x30\x34\x37");
  way_engine_advance(&engine, 50000, &sink);
  assert_string_equal(marked(), "0 change C; 48000 change F");
}

static void test_the_last_note_of_the_old_chord_may_linger(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_TRACK;
  use();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 47000, 0x80, "\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 48000, 0x90, "\x35\x39\x3E"); // F A D over C
  hear_chord(WAY_INPUT_CHORDS, 48500, 0x80, "\x30");
  way_engine_advance(&engine, 50000, &sink);
  assert_string_equal(marked(), "0 change C; 48000 change F6/C; 48500 change Dm/F");
}

static void test_auto_takes_the_track_while_it_sounds(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  marked();
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x31\x35\x38"); // Db F Ab
  way_engine_advance(&engine, 11, &sink);
  assert_string_equal(marked(), "10 change C#");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x80, "\x31\x35\x38");
  const int64_t stays = (int64_t)(WAY_HEARD_STAYS * 48000) + 1;
  way_engine_advance(&engine, 20 + stays, &sink);
  assert_string_equal(marked(), "30720 top chorus 2; 61440 top chorus 3; "
                                "92160 top chorus 4");
  way_engine_advance(&engine, 20 + stays + 1, &sink);
  assert_string_equal(marked(), "96021 change C");
}

static void test_auto_holds_on_without_a_chart(void** state) {
  (void)state;
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x80, "\x30\x34\x37");
  on(1000000, 64);
  assert_string_equal(marked(), "10 change C; 1000000 role 3 chord tone over C; "
                                "1000000 landing 3 chord tone over C");
}

static void test_another_source_forgets_what_was_heard(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_HELD;
  use();
  hear_chord(WAY_INPUT_MELODY, 0, 0x90, "\x20\x24\x27");
  way_engine_advance(&engine, 1, &sink);
  assert_true(way_engine_view(&engine, 1).has_chord);
  settings.source = WAY_SOURCE_TRACK;
  way_engine_set(&engine, &settings, 2, &sink);
  assert_false(way_engine_view(&engine, 2).has_chord);
}

static void test_a_chord_is_heard_in_the_key_of_the_chart(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_TRACK;
  use();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x32\x35\x39"); // D F A
  on(0, 71);
  assert_int_equal(tape.marks[1].role.role, WAY_ROLE_CHROMATIC); // B in D minor
  chart("C");
  on(1, 71);
  assert_int_equal(tape.marks[tape.n_marks - 1].role.role,
                   WAY_ROLE_SCALE); // in C major
}

static void test_a_chord_channel_is_heard_and_passes(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_CHANNEL;
  settings.chord_channel = 3;
  settings.tag_channel = 8;
  use();
  hear_chord(WAY_INPUT_MELODY, 10, 0x92, "\x30\x34\x37");
  on(10, 64);
  assert_string_equal(sent(), "10:92.48 10:92.52 10:92.55 10:97.64 ");
}

/// The chord channel is no channel of the melody (docs/guide.md, `melody_channel`).
static void test_pedals_of_the_chord_channel_are_not_the_melodys(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_CHANNEL;
  settings.chord_channel = 3;
  settings.tag_channel = 8;
  use();
  send(WAY_INPUT_MELODY, 10, 0xB2, 64, 127);
  send(WAY_INPUT_MELODY, 10, 0x05, 1, 2); // part of something longer
  assert_string_equal(sent(), "10:B2.64 10:05.1 ");
  settings.source = WAY_SOURCE_HELD;
  use();
  send(WAY_INPUT_MELODY, 11, 0xB2, 64, 127);
  assert_string_equal(sent(), "11:B2.64 11:B7.64 11:B8.64 11:B9.64 ");
}

static void test_keys_below_the_split_are_heard_and_pass(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_HELD;
  settings.split_key = 56;
  settings.tag_channel = 8;
  use();
  hear_chord(WAY_INPUT_MELODY, 10, 0x90, "\x30\x34\x37");
  on(10, 64);
  assert_string_equal(sent(), "10:90.48 10:90.52 10:90.55 10:97.64 ");
}

static void test_only_the_source_chosen_is_heard(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_CHANNEL;
  settings.chord_channel = 3;
  use();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x92, "\x30\x34\x37");
  way_engine_advance(&engine, 1, &sink);
  assert_false(way_engine_view(&engine, 1).has_chord);
}

/// A chord, its end, and a note that would make it a C7 if it still sounded.
static void check_lifting(WayInput input, unsigned channel, bool by_controller) {
  hear_chord(input, 0, 0x90 | channel, "\x30\x34\x37");
  if (by_controller)
    send(input, 48000, 0xB0 | channel, 123, 0);
  else
    hear_chord(input, 48000, 0x80 | channel, "\x30\x34\x37");
  hear_chord(input, 96000, 0x90 | channel, "\x3A");
  way_engine_advance(&engine, 96001, &sink);
  assert_string_equal(marked(), "0 change C");
}

static void test_chord_keys_are_lifted_on_every_input(void** state) {
  for (unsigned i = 0; i < 4; ++i) {
    start(state);
    const bool track = i & 1;
    settings.source = track ? WAY_SOURCE_TRACK : WAY_SOURCE_CHANNEL;
    settings.chord_channel = 3;
    use();
    check_lifting(track ? WAY_INPUT_CHORDS : WAY_INPUT_MELODY, 2, i & 2);
  }
}

static void test_auto_stays_with_a_track_that_sounds_again(void** state) {
  (void)state;
  chart("C F");
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x31\x35\x38");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x80, "\x31\x35\x38");
  hear_chord(WAY_INPUT_CHORDS, 40000, 0x90, "\x31\x35\x38");
  way_engine_advance(&engine, 1000000, &sink);
  assert_string_equal(marked(), "10 change C#");
}

static void test_silence_forgets_what_was_heard(void** state) {
  (void)state;
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x30\x34\x37");
  way_engine_silence(&engine, 20, &sink);
  assert_false(way_engine_view(&engine, 20).has_chord);
}

/// Strike one key of the chord track.
static void strum(int64_t frame, unsigned key) {
  send(WAY_INPUT_CHORDS, frame, 0x90, key, 90);
}

static void test_a_strum_is_one_change(void** state) {
  (void)state;
  settings.strum = 50; // 2400 frames; half a millisecond more while the music stands
  track();
  strum(1000, 45); // A C E G, slowly: Am on the way to Am7
  strum(2500, 60);
  strum(4000, 64);
  strum(5500, 67);
  way_engine_advance(&engine, 48000, &sink);
  assert_string_equal(marked(), "7924 change Am7");
}

/// A chord may be over before all its keys can have been struck.
static void test_a_short_chord_is_read(void** state) {
  for (int melody_input = 0; melody_input < 2; ++melody_input) {
    start(state);
    settings.strum = 50; // 2400 frames; half a millisecond more while the music stands
    settings.source = melody_input ? WAY_SOURCE_CHANNEL : WAY_SOURCE_TRACK;
    settings.chord_channel = 1;
    settings.chord_stays = 0.01; // it is over before it is read
    use();
    const WayInput input = melody_input ? WAY_INPUT_MELODY : WAY_INPUT_CHORDS;
    hear_chord(input, 0, 0x90, "\x30\x34\x37");
    hear_chord(input, 1000, 0x80, "\x30\x34\x37");
    hear_chord(input, 9000, 0x90, "\x32\x35");
    hear_chord(input, 9400, 0x80, "\x32"); // one by one
    hear_chord(input, 9500, 0x90, "\x39");
    hear_chord(input, 9600, 0x80, "\x39");
    hear_chord(input, 9700, 0x80, "\x35");
    way_engine_advance(&engine, 20000, &sink);
    assert_string_equal(marked(), "2424 change C; 2928 change N.C.; "
                                  "11924 change Dm; 12428 change N.C.");
  }
}

/// The chord before is let go while the next one is strummed.
static void test_a_strum_is_read_whole(void** state) {
  (void)state;
  settings.strum = 50;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  strum(9000, 45); // A and E, a fifth; then C
  strum(9500, 52);
  hear_chord(WAY_INPUT_CHORDS, 10000, 0x80, "\x30\x34\x37");
  strum(10500, 60);
  way_engine_advance(&engine, 20000, &sink);
  assert_string_equal(marked(), "2424 change C; 12924 change Am");
}

static void test_a_strum_does_not_last_for_ever(void** state) {
  (void)state;
  settings.strum = 50;
  track();
  static const uint8_t keys[] = {48, 52, 55, 60, 64, 67, 72, 76};
  for (int i = 0; i < 8; ++i) strum(1000 + 2000 * i, keys[i]);
  way_engine_advance(&engine, 48000, &sink);
  assert_string_equal(marked(), "8224 change C");
}

static void test_notes_under_a_strum_belong_to_it(void** state) {
  (void)state;
  settings.strum = 50;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  way_engine_advance(&engine, 10000, &sink);
  marked();
  hear_chord(WAY_INPUT_CHORDS, 20000, 0x80, "\x30\x34\x37");
  on(23900, 65); // before the F began
  strum(24000, 53);
  on(24000, 64);
  off(24100, 64);
  strum(24500, 57);
  strum(25000, 60);
  on(25100, 69);
  way_engine_advance(&engine, 48000, &sink);
  assert_string_equal(
      marked(), "23900 role 11 scale tone over C; 23900 landing 11 other over C; "
                "24000 role 3 chord tone over C; 25100 role 13 scale tone over C; "
                "27424 change F; 27424 role again 7 scale tone over F; "
                "27424 landing 7 other over F; "
                "27424 role again 3 chord tone over F");
}

static void test_a_late_chord_counts_within_its_grace(void** state) {
  (void)state;
  settings.grace = 20; // 960 frames
  track();
  on(1000, 60);
  on(3000, 64);
  hear_chord(WAY_INPUT_CHORDS, 3900, 0x90, "\x30\x34\x37");
  way_engine_advance(&engine, 4000, &sink);
  assert_string_equal(marked(), "3900 change C; 3900 role again 3 chord tone over C; "
                                "3900 landing 3 chord tone over C");
}

static void test_the_pedal_holds_a_chord(void** state) {
  (void)state;
  track();
  send(WAY_INPUT_CHORDS, 5, 0xB0, 64, 127);
  strum(10, 48); // broken, each key lifted before the next
  send(WAY_INPUT_CHORDS, 4000, 0x80, 48, 64);
  strum(5000, 52);
  send(WAY_INPUT_CHORDS, 9000, 0x80, 52, 64);
  strum(10000, 55);
  send(WAY_INPUT_CHORDS, 14000, 0x80, 55, 64);
  way_engine_advance(&engine, 15000, &sink);
  assert_string_equal(marked(), "10000 change C");
  assert_int_equal(engine.hearing.listen.held.n, 3);
  send(WAY_INPUT_CHORDS, 16000, 0xB0, 64, 0);
  assert_int_equal(engine.hearing.listen.held.n, 0);
}

/// RP-015: resetting all controllers lifts the pedal.
static void test_a_reset_lifts_the_pedal_of_chords(void** state) {
  for (int track_input = 0; track_input < 2; ++track_input) {
    start(state);
    settings.source = track_input ? WAY_SOURCE_TRACK : WAY_SOURCE_CHANNEL;
    use();
    const WayInput input = track_input ? WAY_INPUT_CHORDS : WAY_INPUT_MELODY;
    send(input, 5, 0xBF, 64, 127);
    hear_chord(input, 10, 0x9F, "\x30\x34\x37");
    hear_chord(input, 20, 0x8F, "\x30\x34\x37");
    assert_int_equal(engine.hearing.listen.held.n, 3);
    send(input, 30, 0xBF, 121, 0);
    assert_int_equal(engine.hearing.listen.held.n, 0);
    hear_chord(input, 40, 0x9F, "\x30\x34\x37");
    hear_chord(input, 50, 0x8F, "\x30\x34\x37");
    assert_int_equal(engine.hearing.listen.held.n, 0);
  }
}

/// RP-053: the pedal of a zone comes on its master channel.
static void test_the_pedal_of_a_zone_holds_a_chord(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_HELD;
  settings.split_key = 60;
  use();
  static const uint8_t zone[][2] = {{101, 0}, {100, 6}, {6, 5}}; // channels 1 to 6
  for (size_t i = 0; i < WAY_COUNT(zone); ++i)
    send(WAY_INPUT_MELODY, 0, 0xB0, zone[i][0], zone[i][1]);
  send(WAY_INPUT_MELODY, 1, 0xB0, 64, 127);
  static const uint8_t keys[] = {48, 52, 55};
  for (unsigned i = 0; i < 3; ++i) {
    send(WAY_INPUT_MELODY, 10, 0x91 + i, keys[i], 80);
    send(WAY_INPUT_MELODY, 20, 0x81 + i, keys[i], 0);
  }
  assert_int_equal(engine.hearing.listen.held.n, 3);
  send(WAY_INPUT_MELODY, 30, 0xB0, 64, 0);
  assert_int_equal(engine.hearing.listen.held.n, 0);
}

static void test_a_pedal_changed_after_the_chord_clears_it(void** state) {
  (void)state;
  track();
  send(WAY_INPUT_CHORDS, 5, 0xB0, 64, 127);
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 9000, 0x80, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 10000, 0x90, "\x2B\x3B\x3E\x41");
  send(WAY_INPUT_CHORDS, 11000, 0xB0, 64, 0);
  send(WAY_INPUT_CHORDS, 11500, 0xB0, 64, 127);
  way_engine_advance(&engine, 20000, &sink);
  assert_string_equal(marked(), "10 change C; 10000 change G7");
}

static void test_silence_ends_a_chord_if_asked(void** state) {
  (void)state;
  settings.chord_stays = 0.5;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 10000, 0x80, "\x30\x34\x37");
  on(33000, 64);
  way_engine_advance(&engine, 34025, &sink);
  on(34026, 64);
  assert_string_equal(marked(), "0 change C; 33000 role 3 chord tone over C; "
                                "33000 landing 3 chord tone over C; 34024 change N.C.");
}

/// Whatever was set before, a chord stays for as long after its last key as is set now.
static void test_a_chord_stays_as_set_now(void** state) {
  static const struct {
    double before, now;
    int64_t set, ends; ///< In seconds after the last key
  } cases[] = {
      {60, 2, 1, 2}, {60, 2, 5, 5}, {2, 4, 1, 4}, {0, 30, 9, 30}, {0, 3, 9, 9}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    start(state);
    settings.chord_stays = cases[i].before;
    track();
    hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
    hear_chord(WAY_INPUT_CHORDS, 48000, 0x80, "\x30\x34\x37");
    settings.chord_stays = cases[i].now;
    const int64_t set = (1 + cases[i].set) * 48000, ends = (1 + cases[i].ends) * 48000;
    way_engine_set(&engine, &settings, set, &sink);
    way_engine_advance(&engine, ends, &sink);
    assert_string_equal(marked(), "0 change C");
    way_engine_advance(&engine, ends + 25, &sink);
    assert_non_null(strstr(marked(), "change N.C."));
    assert_false(way_engine_view(&engine, ends + 25).has_chord);
  }
}

static void test_a_chord_stays_until_the_next(void** state) {
  (void)state;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 10000, 0x80, "\x30\x34\x37");
  way_engine_advance(&engine, 100 * 48000, &sink);
  assert_string_equal(marked(), "0 change C");
  assert_true(way_engine_view(&engine, 100 * 48000).has_chord);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_the_chord_track_is_heard_and_kept_back, start),
      cmocka_unit_test_setup(test_chords_may_overlap, start),
      cmocka_unit_test_setup(test_the_last_note_of_the_old_chord_may_linger, start),
      cmocka_unit_test_setup(test_auto_takes_the_track_while_it_sounds, start),
      cmocka_unit_test_setup(test_auto_holds_on_without_a_chart, start),
      cmocka_unit_test_setup(test_another_source_forgets_what_was_heard, start),
      cmocka_unit_test_setup(test_a_chord_is_heard_in_the_key_of_the_chart, start),
      cmocka_unit_test_setup(test_a_chord_channel_is_heard_and_passes, start),
      cmocka_unit_test_setup(test_pedals_of_the_chord_channel_are_not_the_melodys,
                             start),
      cmocka_unit_test_setup(test_keys_below_the_split_are_heard_and_pass, start),
      cmocka_unit_test_setup(test_only_the_source_chosen_is_heard, start),
      cmocka_unit_test_setup(test_chord_keys_are_lifted_on_every_input, start),
      cmocka_unit_test_setup(test_auto_stays_with_a_track_that_sounds_again, start),
      cmocka_unit_test_setup(test_silence_forgets_what_was_heard, start),
      cmocka_unit_test_setup(test_a_strum_is_one_change, start),
      cmocka_unit_test(test_a_short_chord_is_read),
      cmocka_unit_test_setup(test_a_strum_is_read_whole, start),
      cmocka_unit_test_setup(test_a_strum_does_not_last_for_ever, start),
      cmocka_unit_test_setup(test_notes_under_a_strum_belong_to_it, start),
      cmocka_unit_test_setup(test_a_late_chord_counts_within_its_grace, start),
      cmocka_unit_test_setup(test_the_pedal_holds_a_chord, start),
      cmocka_unit_test(test_a_reset_lifts_the_pedal_of_chords),
      cmocka_unit_test_setup(test_the_pedal_of_a_zone_holds_a_chord, start),
      cmocka_unit_test_setup(test_a_pedal_changed_after_the_chord_clears_it, start),
      cmocka_unit_test_setup(test_silence_ends_a_chord_if_asked, start),
      cmocka_unit_test(test_a_chord_stays_as_set_now),
      cmocka_unit_test_setup(test_a_chord_stays_until_the_next, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
