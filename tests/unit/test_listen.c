#include "check.h"
#include "live/listen.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"

static WayListen listen;

static int start(void** state) {
  (void)state;
  way_listen_init(&listen);
  return 0;
}

/// Strike MIDI notes written one after another, lowest first; 0 ends the list.
static void strike(const uint8_t* notes) {
  for (; *notes; ++notes) way_listen_strike(&listen, 0, *notes, true);
}

/// The chord heard, as a symbol.
static const char* heard(const WayKey* key) {
  static char text[WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  if (way_listen_settle(&listen, key)) way_chord_write(&listen.chord, &out);
  return text;
}

// Common practice, no source: what these voicings are called.
static void test_common_voicings(void** state) {
  (void)state;
  static const struct {
    uint8_t notes[8];
    const char* symbol;
  } cases[] = {
      {{48, 52, 55}, "C"},
      {{52, 55, 60}, "C/E"},
      {{45, 60, 64}, "Am"},
      {{48, 52, 57}, "Am/C"},
      {{57, 60, 64, 67}, "Am7"},
      {{48, 64, 67, 69}, "C6"},
      {{43, 59, 62, 65}, "G7"},
      {{43, 53, 59}, "G7"},
      {{50, 60, 65}, "Dm7"},
      {{47, 50, 53, 57}, "Bm7b5"},
      {{49, 52, 55, 58}, "C#dim7"},
      {{48, 53, 55}, "Csus4"},
      {{53, 55, 60}, "Fsus2"},
      {{46, 50, 53, 57}, "Bbmaj7"},
      {{51, 55, 58}, "Eb"},
      {{54, 57, 61}, "F#m"},
      {{48, 55}, "C5"},
      {{43, 53, 57, 59, 64}, "G13"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    start(NULL);
    strike(cases[i].notes);
    assert_string_equal(heard(NULL), cases[i].symbol);
  }
}

static void test_a_foreign_bass_goes_under_a_slash(void** state) {
  (void)state;
  strike((const uint8_t[]){46, 60, 64, 67, 0}); // Bb under C E G
  assert_string_equal(heard(NULL), "C7/Bb");    // its own seventh
  start(NULL);
  strike((const uint8_t[]){41, 55, 59, 62, 0}); // F under G B D
  assert_string_equal(heard(NULL), "G7/F");
  start(NULL);
  strike((const uint8_t[]){42, 60, 64, 67, 0}); // F# under C E G
  assert_string_equal(heard(NULL), "C/F#");
}

static void test_the_key_spells_the_root(void** state) {
  (void)state;
  const WayKey db = {{1, -1}, WAY_MODE_MAJOR}, b = {{6, 0}, WAY_MODE_MAJOR};
  strike((const uint8_t[]){54, 58, 61, 0});
  assert_string_equal(heard(&db), "Gb");
  assert_string_equal(heard(&b), "F#");
}

static void test_what_spells_nothing_leaves_the_last_chord(void** state) {
  (void)state;
  strike((const uint8_t[]){48, 52, 55, 0});
  assert_true(way_listen_settle(&listen, NULL));
  way_listen_clear_channel(&listen, 0);
  assert_int_equal(listen.held.n, 0);
  assert_false(way_listen_settle(&listen, NULL));
  assert_true(listen.known);
  strike((const uint8_t[]){60, 61, 62, 0});
  assert_false(way_listen_settle(&listen, NULL));
  assert_int_equal(listen.chord.n_tones, 3);
}

static void test_two_notes_are_a_chord_if_they_make_a_fifth(void** state) {
  (void)state;
  strike((const uint8_t[]){60, 64, 0});
  assert_false(way_listen_settle(&listen, NULL));
  start(NULL);
  strike((const uint8_t[]){60, 67, 72, 0});
  assert_string_equal(heard(NULL), "C5");
}

/// Strike notes that do not belong to those before.
static void strike_apart(const uint8_t* notes) {
  way_listen_strike(&listen, 0, *notes, false);
  strike(notes + 1);
}

static void test_a_new_chord_over_the_old_one_counts_alone(void** state) {
  (void)state;
  strike((const uint8_t[]){48, 52, 55, 0}); // C
  strike_apart((const uint8_t[]){53, 57, 60, 0});
  assert_string_equal(heard(NULL), "F");
  assert_false(way_listen_lift(&listen, 0, 48));
  assert_false(way_listen_lift(&listen, 0, 52));
  assert_true(way_listen_lift(&listen, 0, 55));  // the last of the old chord
  assert_false(way_listen_lift(&listen, 0, 53)); // the new one is let go
}

static void test_notes_added_to_a_chord_join_it(void** state) {
  (void)state;
  strike((const uint8_t[]){48, 52, 55, 0});
  strike_apart((const uint8_t[]){58, 0});
  assert_string_equal(heard(NULL), "C7");
}

static void test_a_pedal_note_counts(void** state) {
  (void)state;
  strike((const uint8_t[]){36, 0});
  strike_apart((const uint8_t[]){53, 57, 60, 0});
  assert_string_equal(heard(NULL), "F/C");
}

static void test_keys_are_counted_by_channel(void** state) {
  (void)state;
  way_listen_strike(&listen, 0, 60, true);
  way_listen_strike(&listen, 0, 60, true);
  way_listen_strike(&listen, 5, 60, true);
  assert_int_equal(listen.held.n, 2);
  way_listen_lift(&listen, 5, 60);
  way_listen_lift(&listen, 5, 60);
  assert_int_equal(listen.held.n, 1);
  way_listen_lift(&listen, 0, 60);
  assert_int_equal(listen.held.n, 0);
}

/// Whether a chord of these pitch classes is heard with every one of them as a tone or
/// as the bass.
static void check_set(WayPcSet set) {
  start(NULL);
  for (uint8_t pc = 0; pc < 12; ++pc)
    if (way_pcs_has(set, pc)) way_listen_strike(&listen, 0, (uint8_t)(48 + pc), true);
  if (!way_listen_settle(&listen, NULL)) return;
  const WayPcSet tones = way_chord_pcs(&listen.chord);
  const WayPcSet bass = WAY_PC_BIT(way_spelling_pc(listen.chord.bass));
  if (set & ~(tones | bass)) fail_msg("set %03x is heard as %03x", set, tones);
}

static void test_no_held_note_is_lost(void** state) {
  (void)state;
  for (unsigned set = 0; set < 4096; ++set) check_set((WayPcSet)set);
}

static void test_the_key_of_a_chord(void** state) {
  (void)state;
  static const struct {
    const char *symbol, *key;
  } cases[] = {
      {"C", "C major"},   {"Cmaj7", "C major"}, {"C7", "F major"},
      {"Gm7", "G minor"}, {"F#m", "F# minor"},  {"Bb13", "Eb major"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChord chord;
    assert_int_equal(way_chord_read(way_text(cases[i].symbol), &chord, NULL), WAY_OK);
    char text[32];
    WayOut out = way_out(text, sizeof(text));
    way_key_write(way_listen_key(&chord), &out);
    assert_string_equal(text, cases[i].key);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_common_voicings),
      cmocka_unit_test_setup(test_a_foreign_bass_goes_under_a_slash, start),
      cmocka_unit_test_setup(test_the_key_spells_the_root, start),
      cmocka_unit_test_setup(test_what_spells_nothing_leaves_the_last_chord, start),
      cmocka_unit_test_setup(test_a_new_chord_over_the_old_one_counts_alone, start),
      cmocka_unit_test_setup(test_notes_added_to_a_chord_join_it, start),
      cmocka_unit_test_setup(test_a_pedal_note_counts, start),
      cmocka_unit_test_setup(test_two_notes_are_a_chord_if_they_make_a_fifth, start),
      cmocka_unit_test_setup(test_keys_are_counted_by_channel, start),
      cmocka_unit_test(test_no_held_note_is_lost),
      cmocka_unit_test(test_the_key_of_a_chord),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
