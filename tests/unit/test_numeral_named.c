#include "theory/numeral_named.h"

#include "chords.h"

// Augmented sixths and the Neapolitan, as in Open Music Theory, version 2 (chapters
// "Augmented Sixth Chords" and "Neapolitan 6th"), values from memory.
static const struct {
  const char *key, *text, *tones, *written;
} cases[] = {
    {"C", "N6", "F: Db F Ab", ""}, // `bII6` says the same
    {"C", "It6", "Ab: Ab C F#", "It6"},
    {"C", "Fr43", "Ab: Ab C F# D", "Fr43"},
    {"C", "Ger65", "Ab: Ab C Eb F#", "Ger65"},
    {"a", "Ger65", "F: F A C D#", "Ger65"},
    // Spellings of the same in use elsewhere.
    {"C", "It+6", "Ab: Ab C F#", "It6"},
    {"C", "Fr4/3", "Ab: Ab C F# D", "Fr43"},
    {"C", "Ger\u2076\u2085", "Ab: Ab C Eb F#", "Ger65"},
};

static void test_names_mean_their_tones_and_are_written(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayKey key = a_key(cases[i].key);
    WayChord c;
    if (!way_numeral_named_read(way_text(cases[i].text), key, &c))
      fail_msg("%s is not read", cases[i].text);
    char tones[128], written[16];
    spell_chord(&c, tones, sizeof(tones));
    WayOut out = way_out(written, sizeof(written));
    assert_int_equal(way_numeral_named_write(&c, key, &out), cases[i].written[0] != 0);
    if (strcmp(tones, cases[i].tones) != 0 || strcmp(written, cases[i].written) != 0)
      fail_msg("%s in %s: %s, written '%s'", cases[i].text, cases[i].key, tones,
               written);
  }
}

static void test_other_texts_and_chords_have_no_name(void** state) {
  (void)state;
  static const char* const texts[] = {"", "V7", "Ger", "Ger9", "N6x", "I"};
  for (size_t i = 0; i < WAY_COUNT(texts); ++i) {
    WayChord c = chord_named("C");
    const bool is_name = !strcmp(texts[i], "Ger");
    assert_int_equal(way_numeral_named_read(way_text(texts[i]), a_key("C"), &c),
                     is_name);
    if (is_name) continue;
    const WayChord before = chord_named("C");
    assert_true(way_chord_equal(&c, &before));
  }
  char written[16];
  WayOut out = way_out(written, sizeof(written));
  const WayChord dominant = chord_named("Ab7"); // sounds like the German sixth
  assert_false(way_numeral_named_write(&dominant, a_key("C"), &out));
  assert_string_equal(written, "");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_names_mean_their_tones_and_are_written),
      cmocka_unit_test(test_other_texts_and_chords_have_no_name),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
