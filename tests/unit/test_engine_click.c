// The guide-tone click, played by the engine.

#include "guided.h"

static void test_changes_click_with_their_lead(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_CHANGES;
  settings.click_lead = 1;
  settings.click_length = 10; // 480 frames, and a tick
  use();
  chart("C F"); // with tones 60 and 61
  roll(0, -BEAT, 1);
  way_engine_advance(&engine, 9 * BEAT, &sink);
  assert_string_equal(sent(), "0:9E.60 481:8E.60 3840:9E.60 4321:8E.60 "
                              "15360:9E.61 15841:8E.61 19200:9E.61 19681:8E.61 "
                              "30720:9E.60 31201:8E.60 ");
}

/// However coarse the frames are (300 quarter notes a minute at 8000 Hz), and however a
/// tempo is corrected, each beat clicks once.
static void test_no_click_is_stepped_over(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_BEATS;
  settings.click_length = 10;
  use();
  chart("C F");
  roll(0, 0, 2.7);
  way_engine_advance(&engine, 50 * BEAT * 10 / 27 - 10, &sink);
  unsigned clicks = 0;
  for (unsigned i = 0; i < tape.n_messages; ++i)
    clicks += (tape.messages[i].bytes[0] & 0xF0) == 0x90;
  assert_int_equal(clicks, 50);
  roll(100000, 0, 0);
  sent();
  roll(200000, 0, 0.1);
  roll(200000 + 10 * BEAT - 20, BEAT + 5, 0.2);
  way_engine_advance(&engine, 200000 + 14 * BEAT, &sink);
  const char* const text = sent();
  assert_non_null(strstr(text, "200000:9E."));
  assert_non_null(strstr(text, "238380:9E.")); // stepped over, so at once
  assert_int_equal(tape.n_messages, 0);
}

static void test_a_locate_clicks_where_it_lands(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_BEATS;
  use();
  chart("C");
  roll(0, 0, 1);
  way_engine_advance(&engine, BEAT - 10, &sink);
  sent();
  roll(BEAT - 10, 2 * BEAT, 1);
  roll(BEAT - 10, 2 * BEAT, 1);
  way_engine_advance(&engine, BEAT, &sink);
  assert_string_equal(sent(), "3830:8E.60 3830:9E.60 ");
}

static void test_heard_chords_click_nearby(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_CHANGES;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37"); // its E is nearest to G
  hear_chord(WAY_INPUT_CHORDS, 9000, 0x80, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 9000, 0x90, "\x2B\x3B\x3E\x41"); // then F of G7
  way_engine_advance(&engine, 20000, &sink);
  assert_string_equal(sent(), "0:9E.64 4824:8E.64 9000:9E.65 13824:8E.65 ");
}

/// Controller 123 ends what came in on its channel; a click came in on none.
static void test_a_click_outlasts_all_notes_off(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_BARS;
  use();
  chart("C");
  roll(0, 0, 0.16);
  way_engine_advance(&engine, 100, &sink);
  assert_int_equal(tape.n_messages, 1);
  tape.n_messages = 0;
  for (unsigned channel = 0; channel < 16; ++channel)
    send(WAY_INPUT_MELODY, 100, 0xB0 | channel, 123, 0);
  assert_int_equal(tape.n_messages, 16);
  tape.n_messages = 0;
  way_engine_advance(&engine, 9600, &sink); // a tenth of a second and a tick
  assert_int_equal(tape.n_messages, 1);
  assert_int_equal(tape.messages[0].bytes[0], 0x8E);
  assert_true(tape.messages[0].frame >= 4800);
}

static void test_a_click_ends_when_all_is_silenced(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_BEATS;
  use();
  chart("C");
  roll(0, 0, 1);
  way_engine_advance(&engine, 10, &sink);
  way_engine_silence(&engine, 20, &sink);
  assert_int_equal(tape.synth.total, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_changes_click_with_their_lead, start),
      cmocka_unit_test_setup(test_no_click_is_stepped_over, start),
      cmocka_unit_test_setup(test_a_locate_clicks_where_it_lands, start),
      cmocka_unit_test_setup(test_heard_chords_click_nearby, start),
      cmocka_unit_test_setup(test_a_click_outlasts_all_notes_off, start),
      cmocka_unit_test_setup(test_a_click_ends_when_all_is_silenced, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
