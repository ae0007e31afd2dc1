#include "check.h"
#include "live/ledger.h"
#include "rng.h"
#include "tape.h"

static Tape tape;
static WayLedger ledger;
static WaySink sink;

static int start(void** state) {
  (void)state;
  tape_start(&tape);
  sink = tape_sink(&tape);
  way_ledger_init(&ledger);
  return 0;
}

static bool strike(unsigned key, unsigned note) {
  return way_ledger_strike(&ledger, &sink, 0, (WayKeyIndex)key, (WayKeyIndex)note, 100,
                           true);
}

static void lift(unsigned key) {
  way_ledger_lift(&ledger, &sink, 0, way_note_word(0x80 | key >> 7, key & 127, 33));
}

/// What went out so far, one letter and number a message: `+60 -60 `.
static const char* sent(void) {
  static char text[256];
  WayOut out = way_out(text, sizeof(text));
  for (unsigned i = 0; i < tape.n_messages; ++i) {
    const TapeMessage* const m = &tape.messages[i];
    way_out_char(&out, (m->bytes[0] & 0xF0) == 0x90 && m->bytes[2] ? '+' : '-');
    way_out_int(&out, way_key_index(m->bytes[0], m->bytes[1]));
    way_out_char(&out, ' ');
  }
  return text;
}

static void test_a_note_off_follows_its_note_on(void** state) {
  (void)state;
  strike(60, 64);
  lift(60);
  assert_string_equal(sent(), "+64 -64 ");
  assert_int_equal(tape.messages[1].bytes[2], 33); // the release velocity as played
}

static void test_the_same_key_struck_twice_passes_as_played(void** state) {
  (void)state;
  strike(60, 60);
  strike(60, 60);
  lift(60);
  lift(60);
  assert_string_equal(sent(), "+60 +60 -60 -60 ");
}

static void test_a_key_struck_again_elsewhere_ends_the_first(void** state) {
  (void)state;
  strike(60, 60);
  strike(60, 62);
  lift(60);
  assert_string_equal(sent(), "+60 -60 +62 -62 ");
}

static void test_two_keys_on_one_note_end_it_once(void** state) {
  (void)state;
  strike(60, 60);
  strike(61, 60);
  lift(60);
  assert_string_equal(sent(), "+60 -60 +60 ");
  lift(61);
  assert_string_equal(sent(), "+60 -60 +60 -60 ");
}

static void test_a_key_left_out_stays_silent(void** state) {
  (void)state;
  way_ledger_mute(&ledger, &sink, 0, 60);
  lift(60);
  assert_string_equal(sent(), "");
}

static void test_orphan_offs_pass_unless_the_note_is_held(void** state) {
  (void)state;
  lift(60);
  assert_string_equal(sent(), "-60 ");
  strike(61, 60);
  lift(60);
  assert_string_equal(sent(), "-60 +60 ");
}

static void test_velocity_zero_ends_a_note(void** state) {
  (void)state;
  strike(60, 62);
  way_ledger_lift(&ledger, &sink, 0, way_note_word(0x90, 60, 0));
  assert_int_equal(tape.synth.total, 0);
  assert_int_equal(tape.messages[1].bytes[0], 0x90); // in the form it came in
}

static void test_a_note_on_without_room_is_forgotten(void** state) {
  (void)state;
  tape.room = 0;
  assert_false(strike(60, 64));
  tape.room = 9;
  lift(60);
  assert_string_equal(sent(), "-60 "); // the off of a key that began nothing
}

static void test_a_note_off_without_room_is_owed_before_all_else(void** state) {
  (void)state;
  strike(60, 60);
  tape.room = 0;
  lift(60);
  assert_string_equal(sent(), "+60 ");
  assert_false(way_ledger_flush(&ledger, &sink, 0));
  assert_false(way_ledger_pass(&ledger, &sink, 0, (const uint8_t[]){0xB0, 1, 2}, 3));
  tape.room = 9;
  strike(60, 60);
  assert_string_equal(sent(), "+60 -60 +60 ");
}

static bool control(unsigned channel, unsigned number, unsigned value) {
  const uint8_t bytes[3] = {(uint8_t)(0xB0 | channel), (uint8_t)number, (uint8_t)value};
  return way_ledger_pass(&ledger, &sink, 0, bytes, sizeof(bytes));
}

/// Sustain and sostenuto hold notes until they are lifted, and resetting all
/// controllers lifts both: MIDI 1.0; RP-015.
static void test_a_pedal_lifted_without_room_is_owed(void** state) {
  (void)state;
  control(0, 64, 127);
  control(3, 64, 127);
  control(3, 66, 127);
  tape.room = 0;
  assert_false(control(0, 64, 63));
  assert_false(control(0, 64, 0)); // once is enough
  assert_false(control(3, 121, 0));
  assert_false(control(5, 64, 64)); // was only put down
  assert_int_equal(ledger.total_owed, 3);
  tape.room = 2;
  assert_false(way_ledger_flush(&ledger, &sink, 0));
  tape.room = 9;
  assert_true(control(0, 64, 127)); // behind what is owed
  static const uint8_t expected[][3] = {
      {0xB0, 64, 0}, {0xB3, 64, 0}, {0xB3, 66, 0}, {0xB0, 64, 127}};
  assert_int_equal(tape.n_messages, 3 + WAY_COUNT(expected));
  for (size_t i = 0; i < WAY_COUNT(expected); ++i)
    assert_memory_equal(tape.messages[3 + i].bytes, expected[i], 3);
  assert_int_equal(ledger.total_owed, 0);
}

static void test_end_and_move_answer_for_the_key(void** state) {
  (void)state;
  strike(60, 60);
  strike(64, 64);
  way_ledger_end(&ledger, &sink, 0, 60);
  assert_true(way_ledger_move(&ledger, &sink, 0, 64, 65));
  assert_string_equal(sent(), "+60 +64 -60 -64 +65 ");
  lift(60);
  lift(64);
  assert_string_equal(sent(), "+60 +64 -60 -64 +65 -65 ");
}

static void test_clearing_a_channel_leaves_the_others(void** state) {
  (void)state;
  strike(60, 60);
  strike(128 + 60, 128 + 60);
  way_ledger_clear_channel(&ledger, &sink, 0, 0);
  assert_int_equal(tape.synth.on[0][60], 0);
  assert_int_equal(tape.synth.on[1][60], 1);
  way_ledger_clear(&ledger, &sink, 0);
  assert_int_equal(tape.synth.total, 0);
}

static void test_onsets_keep_their_order(void** state) {
  (void)state;
  strike(60, 60);
  strike(61, 61);
  strike(62, 62);
  lift(61);
  strike(60, 60); // again: now the newest
  assert_int_equal(ledger.oldest, 62);
  assert_int_equal(ledger.newest, 60);
  assert_int_equal(ledger.keys[62].newer, 60);
  assert_int_equal(ledger.keys[60].older, 62);
}

/// One random thing done to the ledger; few keys and notes, so that they meet.
static void stir(uint32_t* rng) {
  const WayKeyIndex key = (WayKeyIndex)(rng_below(rng, 2) * 128 + rng_below(rng, 5));
  const WayKeyIndex note = (WayKeyIndex)(rng_below(rng, 2) * 128 + rng_below(rng, 5));
  switch (rng_below(rng, 12)) {
  case 0: way_ledger_mute(&ledger, &sink, 0, key); break;
  case 1: way_ledger_end(&ledger, &sink, 0, key); break;
  case 2: way_ledger_move(&ledger, &sink, 0, key, note); break;
  case 3:
    if (!rng_below(rng, 8)) way_ledger_clear_channel(&ledger, &sink, 0, 1);
    break;
  case 4: tape.room = rng_below(rng, 4); break;
  case 5: tape.room = TAPE_MESSAGES; break;
  case 6:
  case 7: lift(key); break;
  default: strike(key, rng_below(rng, 2) ? key : note);
  }
}

/// The ledger's counts against what the synthesizer heard.
static void check_counts(uint32_t seed) {
  for (unsigned note = 0; note < WAY_LEDGER_KEYS; ++note) {
    const int on = tape.synth.on[note >> 7][note & 127];
    if (on != ledger.keys[note].sounding + ledger.keys[note].owed)
      fail_msg("seed %u: note %u is on %d times, known %d", seed, note, on,
               ledger.keys[note].sounding + ledger.keys[note].owed);
    if (ledger.keys[note].sounding > ledger.keys[note].owners)
      fail_msg("seed %u: note %u sounds for nobody", seed, note);
  }
}

// Whatever is done, with or without room: when all keys are up and there is room, the
// synthesizer is silent.
static void test_nothing_ever_hangs(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 2000; ++seed) {
    uint32_t rng = seed;
    start(NULL);
    for (int i = 0; i < 150; ++i) stir(&rng);
    check_counts(seed);
    tape.room = TAPE_MESSAGES;
    if (seed & 1)
      way_ledger_clear(&ledger, &sink, 0);
    else
      for (unsigned key = 0; key < WAY_LEDGER_KEYS; ++key)
        while (ledger.keys[key].strikes) lift(key);
    way_ledger_flush(&ledger, &sink, 0);
    check_counts(seed);
    if (tape.synth.total) fail_msg("seed %u: %d notes hang", seed, tape.synth.total);
    assert_int_equal(ledger.oldest, WAY_NO_KEY);
    assert_int_equal(ledger.newest, WAY_NO_KEY);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_a_note_off_follows_its_note_on, start),
      cmocka_unit_test_setup(test_the_same_key_struck_twice_passes_as_played, start),
      cmocka_unit_test_setup(test_a_key_struck_again_elsewhere_ends_the_first, start),
      cmocka_unit_test_setup(test_two_keys_on_one_note_end_it_once, start),
      cmocka_unit_test_setup(test_a_key_left_out_stays_silent, start),
      cmocka_unit_test_setup(test_orphan_offs_pass_unless_the_note_is_held, start),
      cmocka_unit_test_setup(test_velocity_zero_ends_a_note, start),
      cmocka_unit_test_setup(test_a_note_on_without_room_is_forgotten, start),
      cmocka_unit_test_setup(test_a_note_off_without_room_is_owed_before_all_else,
                             start),
      cmocka_unit_test_setup(test_a_pedal_lifted_without_room_is_owed, start),
      cmocka_unit_test_setup(test_end_and_move_answer_for_the_key, start),
      cmocka_unit_test_setup(test_clearing_a_channel_leaves_the_others, start),
      cmocka_unit_test_setup(test_onsets_keep_their_order, start),
      cmocka_unit_test(test_nothing_ever_hangs),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
