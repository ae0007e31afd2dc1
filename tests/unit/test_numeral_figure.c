#include "theory/numeral_figure.h"

#include "chords.h"

// Figured bass and quality marks as in Open Music Theory, version 2 (chapters "Roman
// Numerals and SATB Chord Construction" and "Inversion and Figured Bass"), values from
// memory; the marks `%` and `M` are those of the DCML harmony annotation standard.
static const struct {
  const char* suffix;
  bool lower;
  const char *tones, *written; ///< On C
} cases[] = {
    {"", false, "C: C E G", ""},
    {"", true, "C: C Eb G", ""},
    {"6", false, "E: C E G", "6"},
    {"64", true, "G: C Eb G", "64"},
    {"7", false, "C: C E G Bb", "7"},
    {"7", true, "C: C Eb G Bb", "7"},
    {"65", false, "E: C E G Bb", "65"},
    {"43", false, "G: C E G Bb", "43"},
    {"42", true, "Bb: C Eb G Bb", "42"},
    {"2", true, "Bb: C Eb G Bb", "42"},
    {"o", true, "C: C Eb Gb", "o"},
    {"o65", true, "Eb: C Eb Gb Bbb", "o65"},
    {"%43", true, "Gb: C Eb Gb Bb", "\u00F843"},
    {"+6", false, "E: C E G#", "+6"},
    {"M7", false, "C: C E G B", "maj7"},
    {"M42", false, "B: C E G B", "M42"},
    // Accidentals that only remind.
    {"6b5", false, "E: C E G Bb", "65"},
    {"o6#4", true, "Gb: C Eb Gb", "o64"},
};

static void test_figures_mean_their_tones_and_are_written(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChord c;
    if (!way_numeral_figure_read(way_text(cases[i].suffix), cases[i].lower, &c))
      fail_msg("'%s' is not read", cases[i].suffix);
    char tones[128], written[16];
    spell_chord(&c, tones, sizeof(tones));
    WayOut out = way_out(written, sizeof(written));
    assert_true(way_numeral_figure_write(&c, &out));
    if (strcmp(tones, cases[i].tones) != 0 || strcmp(written, cases[i].written) != 0)
      fail_msg("'%s': %s, written '%s'", cases[i].suffix, tones, written);
  }
}

static void test_other_suffixes_and_chords_have_no_figure(void** state) {
  (void)state;
  static const char* const suffixes[] = {"9", "sus4", "add9", "54", "66", "7b9", "ox"};
  WayChord c;
  for (size_t i = 0; i < WAY_COUNT(suffixes); ++i)
    assert_false(way_numeral_figure_read(way_text(suffixes[i]), false, &c));
  static const char* const symbols[] = {"C9", "Csus4", "C/D", "C6"};
  for (size_t i = 0; i < WAY_COUNT(symbols); ++i) {
    char written[16];
    WayOut out = way_out(written, sizeof(written));
    c = chord_named(symbols[i]);
    assert_false(way_numeral_figure_write(&c, &out));
    assert_string_equal(written, "");
  }
}

// A suspended fourth over the bass, as figured bass has it: common practice, no source.
static void test_figures_of_suspensions(void** state) {
  (void)state;
  assert_string_equal(way_numeral_figure_suffix(way_text("54")), "sus4");
  assert_string_equal(way_numeral_figure_suffix(way_text("74")), "7sus4");
  assert_null(way_numeral_figure_suffix(way_text("65")));
}

static void test_raised_and_divided_figures_are_plain(void** state) {
  (void)state;
  static const char* const cases_of[][2] = {{"\u2076\u2085", "65"}, {"\u00B2", "2"},
                                            {"6/4/2", "642"},       {"o4/3", "o43"},
                                            {"/o7", "/o7"},         {"b9", "b9"}};
  for (size_t i = 0; i < WAY_COUNT(cases_of); ++i) {
    char plain[16];
    WayOut out = way_out(plain, sizeof(plain));
    way_numeral_figure_plain(way_text(cases_of[i][0]), &out);
    assert_string_equal(plain, cases_of[i][1]);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_figures_mean_their_tones_and_are_written),
      cmocka_unit_test(test_other_suffixes_and_chords_have_no_figure),
      cmocka_unit_test(test_figures_of_suspensions),
      cmocka_unit_test(test_raised_and_divided_figures_are_plain),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
