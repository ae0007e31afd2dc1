// What becomes of notes: handling, held notes, scope, approaches and bends.

#include "guided.h"

// Handling.

static void test_tagging_sends_each_role_on_its_channel(void** state) {
  (void)state;
  chart("C");
  settings.tag_channel = 4;
  use();
  on(0, 60);
  on(0, 62);
  on(0, 61);
  off(1, 62);
  assert_string_equal(sent(), "0:93.60 0:94.62 0:95.61 1:84.62 ");
}

static void test_a_filter_leaves_the_whole_note_out(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_FILTER;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  on(0, 62);
  on(1, 64);
  off(2, 62);
  off(3, 64);
  assert_string_equal(sent(), "1:90.64 3:80.64 ");
  assert_string_equal(marked(), "1 role 3 chord tone over C");
}

static void test_snapping_moves_and_marks_the_note_that_sounds(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  on(0, 63);
  off(1, 63);
  on(2, 62); // from E down: C
  assert_string_equal(sent(), "0:90.64 1:80.64 2:90.60 ");
  assert_string_equal(marked(),
                      "0 role 3 chord tone over C; 2 role R chord tone over C");
}

static void test_ties_go_the_way_the_line_moves(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  on(0, 60);
  on(1, 62); // from C up: E
  assert_string_equal(sent(), "0:90.60 1:90.64 ");
  start(NULL);
  on(0, 60); // no chord is known yet
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  on(1, 62);
  assert_string_equal(sent(), "0:90.60 1:90.64 ");
}

static void test_a_note_keeps_its_off_when_settings_change(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  settings.tag_channel = 5;
  use();
  on(0, 61);
  settings.enabled = false;
  use();
  off(1, 61);
  assert_string_equal(sent(), "0:94.60 1:84.60 ");
}

static void test_other_channels_pass(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.melody_channel = 2;
  use();
  on(0, 61);
  send(WAY_INPUT_MELODY, 0, 0x91, 61, 100);
  assert_string_equal(sent(), "0:90.61 0:91.60 ");
}

static void test_everything_else_passes_in_order(void** state) {
  (void)state;
  chart("C");
  static const uint8_t sysex[] = {0xF0, 0x7D, 1, 2, 3, 4, 5, 6, 7, 8, 0xF7};
  send(WAY_INPUT_MELODY, 1, 0xE0, 0, 64);
  way_engine_midi(&engine, WAY_INPUT_MELODY, 1, sysex, sizeof(sysex), &sink);
  way_engine_midi(&engine, WAY_INPUT_MELODY, 1, (const uint8_t[]){0xC0, 5}, 2, &sink);
  send(WAY_INPUT_MELODY, 1, 0xA0, 60, 9);
  assert_int_equal(tape.n_messages, 4);
  assert_int_equal(tape.messages[1].size, sizeof(sysex));
  assert_memory_equal(tape.messages[1].bytes, sysex, TAPE_BYTES);
  assert_string_equal(sent(), "1:E0.0 1:F0.125 1:C0.5 1:A0.60 ");
}

/// Changes of mode are all notes off, too: MIDI 1.0, channel mode messages.
static void test_all_notes_off_ends_all_and_passes(void** state) {
  (void)state;
  chart("C");
  settings.tag_channel = 1;
  use();
  static const uint8_t numbers[] = {123, 124, 125, 127, 126}; // 126 makes strings
  for (size_t i = 0; i < WAY_COUNT(numbers); ++i) {
    const uint8_t number = numbers[i];
    on(0, 60);
    on(0, 62);
    char expected[64];
    snprintf(expected, sizeof(expected), "0:90.60 0:91.62 1:80.60 1:81.62 1:B0.%d ",
             number);
    send(WAY_INPUT_MELODY, 1, 0xB0, number, 0);
    assert_string_equal(sent(), expected);
  }
}

static void test_broken_note_messages_are_left_out(void** state) {
  (void)state;
  way_engine_midi(&engine, WAY_INPUT_MELODY, 0, (const uint8_t[]){0x90, 60}, 2, &sink);
  way_engine_midi(&engine, WAY_INPUT_MELODY, 0, (const uint8_t[]){0x90, 60, 200}, 3,
                  &sink);
  way_engine_midi(&engine, WAY_INPUT_MELODY, 0, (const uint8_t[]){0}, 0, &sink);
  assert_string_equal(sent(), "");
}

// Held notes.

static void test_held_notes_ring_on(void** state) {
  (void)state;
  chart("C Eb");
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  roll(0, 0, 1);
  on(0, 64);
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(sent(), "0:90.64 ");
}

static void test_held_notes_are_released(void** state) {
  (void)state;
  chart("C Eb");
  settings.material = WAY_MATERIAL_TRIAD;
  settings.held = WAY_HELD_RELEASE;
  use();
  roll(0, 0, 1);
  on(0, 64);
  on(0, 67);
  marked();
  way_engine_advance(&engine, BAR + 1, &sink);
  off(BAR + 2, 64);
  off(BAR + 3, 67);
  assert_string_equal(sent(), "0:90.64 0:90.67 15360:80.64 15363:80.67 ");
  assert_string_equal(marked(),
                      "15360 change Eb; 15360 landing held 3 chord tone over Eb");
}

static void test_held_notes_are_moved(void** state) {
  (void)state;
  chart("C Eb");
  settings.material = WAY_MATERIAL_TRIAD;
  settings.held = WAY_HELD_MOVE;
  use();
  roll(0, 0, 1);
  on(0, 64);
  marked();
  way_engine_advance(&engine, BAR + 1, &sink);
  off(BAR + 2, 64);
  assert_string_equal(sent(), "0:90.64 15360:80.64 15360:90.63 15362:80.63 ");
  assert_string_equal(marked(), "15360 change Eb; 15360 role R chord tone over Eb; "
                                "15360 landing held R chord tone over Eb");
}

// Which notes are handled, and when.

static void snap_to_triads(void) {
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  settings.snap = WAY_SNAP_DOWN;
  use();
  chart("C F");
  roll(0, 0, 1);
}

static void test_only_notes_in_scope_are_handled(void** state) {
  static const struct {
    WayScope scope;
    const char* sent; // of a D on 1, 2, 2 and a half, 3, 3 and a bit
  } cases[] = {
      {WAY_SCOPE_EVERY, "60 60 60 60 60 "},
      {WAY_SCOPE_BEATS, "60 60 62 60 60 "},
      {WAY_SCOPE_STRONG, "60 62 62 60 60 "},
      {WAY_SCOPE_LANDINGS, "60 62 62 62 62 "},
  };
  static const int64_t frames[] = {0, BEAT, 3 * BEAT / 2, 2 * BEAT,
                                   2 * BEAT + BEAT / 9};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    start(state);
    settings.scope = cases[i].scope;
    snap_to_triads();
    char text[64] = "";
    for (size_t k = 0; k < WAY_COUNT(frames); ++k) {
      tape.n_messages = 0;
      on(frames[k], 62);
      snprintf(text + strlen(text), 8, "%d ", tape.messages[0].bytes[1]);
      off(frames[k] + 1, 62);
    }
    assert_string_equal(text, cases[i].sent);
  }
}

static void test_an_approach_that_resolves_is_left_alone(void** state) {
  (void)state;
  settings.approach = 1;
  snap_to_triads();
  on(100, 63); // D# to E
  on(200, 64);
  off(300, 63);
  way_engine_advance(&engine, 2 * BEAT, &sink);
  assert_string_equal(sent(), "100:90.63 200:90.64 300:80.63 ");
}

static void test_an_approach_that_does_not_resolve_is_handled(void** state) {
  (void)state;
  settings.approach = 1;
  snap_to_triads();
  on(100, 62);
  on(200, 67); // a leap
  on(300, 66);
  off(400, 66); // over before its time is
  way_engine_advance(&engine, 2 * BEAT, &sink);
  assert_string_equal(sent(), "100:90.62 200:90.67 300:90.66 400:80.66 "
                              "3940:80.62 3940:90.60 ");
}

static void test_what_waits_in_vain_is_filtered(void** state) {
  (void)state;
  settings.approach = 0.5;
  settings.handling = WAY_HANDLING_FILTER;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  chart("C"); // the transport stands: a beat lasts half a second
  roll(0, 0, 0);
  settings.source = WAY_SOURCE_CHART;
  use();
  on(100, 62);
  way_engine_advance(&engine, 48000, &sink);
  assert_string_equal(sent(), "100:90.62 12124:80.62 ");
  off(50000, 62);
  assert_string_equal(sent(), "");
}

// Bends.

static void bend(int64_t frame, unsigned channel, int cents) {
  const int wide = 8192 + cents * 8192 / 200;
  const unsigned value = wide > 16383 ? 16383 : (unsigned)wide;
  send(WAY_INPUT_MELODY, frame, 0xE0 | channel, value & 127, value >> 7);
}

static void test_a_role_follows_the_sounding_pitch(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  marked();
  bend(10, 0, 100); // the string is pushed before it is struck
  on(11, 63);
  assert_string_equal(marked(),
                      "11 role 3 chord tone over C; 11 landing 3 chord tone over C");
  assert_int_equal(tape.marks[0].pitch, 64);
}

static void test_a_bend_that_settles_is_told(void** state) {
  (void)state;
  chart("C");
  roll(0, 0, 0.1);
  on(10, 62);
  marked();
  for (int i = 1; i <= 20; ++i) bend(100 + i, 0, 10 * i); // up to the E
  way_engine_advance(&engine, 100000, &sink);
  // Near from frame 117 on, in tick 12 of 10 frames each; then 240 ticks, and one.
  assert_string_equal(marked(), "2525 role again 3 chord tone over C");
  assert_int_equal(tape.marks[0].pitch, 64);
}

static void test_a_note_begins_with_a_bend_that_does_not_rest(void** state) {
  (void)state;
  chart("C");
  roll(0, 0, 0.1);
  marked();
  bend(10, 0, 160);
  on(11, 62);
  bend(3000, 0, 0);
  way_engine_advance(&engine, 9000, &sink);
  off(9000, 62);
  assert_string_equal(marked(),
                      "11 role 3 chord tone over C; 11 landing 3 chord tone over C; "
                      "5405 role again 9 scale tone over C");
  bend(10000, 0, 200); // told while nothing sounds
  bend(20000, 0, 40);  // near no pitch: it stays as told
  on(20001, 64);
  bend(20002, 0, 0);
  way_engine_advance(&engine, 30000, &sink);
  assert_string_equal(marked(), "20001 role 3 chord tone over C");
}

static void test_vibrato_and_quarter_tones_are_not_told(void** state) {
  (void)state;
  chart("C");
  roll(0, 0, 0.01);
  on(10, 62);
  marked();
  for (int i = 0; i < 100; ++i) bend(100 + i * 1000, 0, i % 2 ? 80 : -80);
  bend(100000, 0, 50);
  way_engine_advance(&engine, 400000, &sink);
  assert_string_equal(marked(), "");
}

static void test_a_snapped_note_keeps_its_bend(void** state) {
  (void)state;
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  chart("C");
  roll(0, 0, 0.1);
  sent();
  bend(10, 0, 200);
  on(11, 63); // sounds as F, to be E: a semitone down
  off(12, 63);
  assert_string_equal(sent(), "10:E0.127 11:90.62 12:80.62 ");
  on(13, 62); // sounds as E, which may stay
  assert_string_equal(sent(), "13:90.62 ");
}

static void test_tags_take_bends_and_pedals_along(void** state) {
  (void)state;
  settings.tag_channel = 2;
  use();
  chart("C");
  roll(0, 0, 0.1);
  send(WAY_INPUT_MELODY, 10, 0xB0, 64, 127);
  assert_string_equal(sent(), "10:B0.64 10:B1.64 10:B2.64 10:B3.64 ");
  send(WAY_INPUT_MELODY, 10, 0xF8, 0, 0);
  sent();
  settings.strings = true; // each channel has a bend of its own: notes stay on it
  use();
  bend(20, 4, 100);
  send(WAY_INPUT_MELODY, 21, 0x94, 64, 100);
  assert_string_equal(sent(), "20:E4.0 21:94.64 ");
  assert_true(way_engine_tags_refused(&engine));
}

/// RP-015: resetting all controllers lets go of pedals and bends, so it has to reach
/// where they went; and so has what silences all (MIDI 1.0, channel mode messages).
static void test_tags_are_let_go_by_a_reset(void** state) {
  (void)state;
  settings.tag_channel = 2;
  use();
  send(WAY_INPUT_MELODY, 10, 0xB0, 64, 127);
  sent();
  send(WAY_INPUT_MELODY, 20, 0xB0, 121, 0);
  assert_string_equal(sent(), "20:B0.121 20:B1.121 20:B2.121 20:B3.121 ");
  send(WAY_INPUT_MELODY, 30, 0xB0, 120, 0);
  assert_string_equal(sent(), "30:B0.120 30:B1.120 30:B2.120 30:B3.120 ");
  send(WAY_INPUT_MELODY, 40, 0xB0, 123, 0);
  send(WAY_INPUT_MELODY, 40, 0xB0, 126, 1);
  assert_string_equal(sent(), "40:B0.123 40:B0.126 ");
}

/// A pedal that holds notes on the channels of tags lets them go there, whatever was
/// switched in between; likewise a bend.
static void test_tags_that_end_are_let_go(void** state) {
  for (int how = 0; how < 4; ++how) {
    start(state);
    settings.tag_channel = 2;
    use();
    chart("C");
    roll(0, 0, 0.1);
    send(WAY_INPUT_MELODY, 10, 0xB0, 64, 127);
    bend(10, 0, 100);
    on(11, 64);
    off(12, 64);
    if (how == 0) settings.enabled = false;
    if (how == 1) settings.tag_channel = 0;
    if (how == 2) settings.strings = true;
    if (how == 3) settings.melody_channel = 9;
    way_engine_set(&engine, &settings, 20, &sink);
    sent();
    bend(30, 0, 0);
    assert_string_equal(sent(), "30:E0.0 30:E1.0 30:E2.0 30:E3.0 ");
    send(WAY_INPUT_MELODY, 31, 0xB0, 64, 0);
    assert_string_equal(sent(), "31:B0.64 31:B1.64 31:B2.64 31:B3.64 ");
    send(WAY_INPUT_MELODY, 40, 0xB0, 64, 127); // no tags any more
    send(WAY_INPUT_MELODY, 41, 0xB0, 64, 0);
    assert_string_equal(sent(), "40:B0.64 41:B0.64 ");
  }
}

static void test_another_channel_lets_go_of_former_tags(void** state) {
  (void)state;
  settings.tag_channel = 2;
  use();
  send(WAY_INPUT_MELODY, 10, 0xB0, 64, 127);
  settings.tag_channel = 9;
  use();
  sent();
  send(WAY_INPUT_MELODY, 20, 0xB4, 64, 0);
  send(WAY_INPUT_MELODY, 21, 0xB0, 64, 0);
  assert_string_equal(sent(), "20:B4.64 20:B1.64 20:B2.64 20:B3.64 20:B8.64 20:B9.64 "
                              "20:BA.64 21:B0.64 21:B8.64 21:B9.64 21:BA.64 ");
}

static void test_a_zone_is_melody_with_its_master(void** state) {
  (void)state;
  settings.melody_channel = 1;
  use();
  chart("C");
  roll(0, 0, 0.1);
  marked();
  send(WAY_INPUT_MELODY, 5, 0x92, 64, 100);
  assert_string_equal(marked(), "");
  send(WAY_INPUT_MELODY, 10, 0xB0, 101, 0); // registered parameter 6: a zone
  send(WAY_INPUT_MELODY, 10, 0xB0, 100, 6);
  send(WAY_INPUT_MELODY, 10, 0xB0, 6, 5);
  send(WAY_INPUT_MELODY, 20, 0x92, 67, 100);
  assert_string_equal(marked(),
                      "20 role 5 chord tone over C; 20 landing 5 chord tone over C");
}

static void test_keys_out_of_range_only_pass(void** state) {
  (void)state;
  settings.range_low = 60;
  settings.range_high = 70;
  settings.tag_channel = 2;
  use();
  chart("C");
  roll(0, 0, 0.1);
  marked();
  on(10, 59);
  on(11, 71);
  assert_string_equal(marked(), "");
  assert_string_equal(sent(), "10:90.59 11:90.71 ");
  settings.range_low = 71; // above the highest: no key is melody
  use();
  on(12, 71);
  on(12, 70);
  assert_string_equal(marked(), "");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_tagging_sends_each_role_on_its_channel, start),
      cmocka_unit_test_setup(test_a_filter_leaves_the_whole_note_out, start),
      cmocka_unit_test_setup(test_snapping_moves_and_marks_the_note_that_sounds, start),
      cmocka_unit_test_setup(test_ties_go_the_way_the_line_moves, start),
      cmocka_unit_test_setup(test_a_note_keeps_its_off_when_settings_change, start),
      cmocka_unit_test_setup(test_other_channels_pass, start),
      cmocka_unit_test_setup(test_everything_else_passes_in_order, start),
      cmocka_unit_test_setup(test_all_notes_off_ends_all_and_passes, start),
      cmocka_unit_test_setup(test_broken_note_messages_are_left_out, start),
      cmocka_unit_test_setup(test_held_notes_ring_on, start),
      cmocka_unit_test_setup(test_held_notes_are_released, start),
      cmocka_unit_test_setup(test_held_notes_are_moved, start),
      cmocka_unit_test_setup(test_only_notes_in_scope_are_handled, start),
      cmocka_unit_test_setup(test_an_approach_that_resolves_is_left_alone, start),
      cmocka_unit_test_setup(test_an_approach_that_does_not_resolve_is_handled, start),
      cmocka_unit_test_setup(test_what_waits_in_vain_is_filtered, start),
      cmocka_unit_test_setup(test_a_role_follows_the_sounding_pitch, start),
      cmocka_unit_test_setup(test_a_bend_that_settles_is_told, start),
      cmocka_unit_test_setup(test_a_note_begins_with_a_bend_that_does_not_rest, start),
      cmocka_unit_test_setup(test_vibrato_and_quarter_tones_are_not_told, start),
      cmocka_unit_test_setup(test_a_snapped_note_keeps_its_bend, start),
      cmocka_unit_test_setup(test_tags_take_bends_and_pedals_along, start),
      cmocka_unit_test_setup(test_tags_are_let_go_by_a_reset, start),
      cmocka_unit_test(test_tags_that_end_are_let_go),
      cmocka_unit_test_setup(test_another_channel_lets_go_of_former_tags, start),
      cmocka_unit_test_setup(test_a_zone_is_melody_with_its_master, start),
      cmocka_unit_test_setup(test_keys_out_of_range_only_pass, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
