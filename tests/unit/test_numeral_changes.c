#include "theory/numeral_changes.h"

#include "chords.h"

// The cases are those of the DCML harmony annotation standard
// (github.com/DCMLab/standards, guidelines, "Suspensions and retardations" and "Added
// notes"), and chord symbols.
static void test_changes_are_told_from_chord_symbols(void** state) {
  (void)state;
  static const struct {
    const char* piece;
    size_t at;
  } cases[] = {{"V(64)", 1},  {"V65(4)", 3},  {"IV6(+2)", 3}, {"V7(b6)", 2},
               {"V7(b9)", 6}, {"I(add9)", 7}, {"V(64", 4},    {"V", 1}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_int_equal(way_numeral_changes_at(way_text(cases[i].piece)), cases[i].at);
}

static void test_changes_replace_and_add_tones(void** state) {
  (void)state;
  static const struct {
    const char *chord, *changes, *tones;
  } cases[] = {
      {"G", "(64)", "G: G C E"},     {"G", "(4)", "G: G C D"},
      {"G7/B", "(4)", "C: G C D F"}, {"F/A", "(+2)", "A: F G A C"},
      {"G7", "(b6)", "G: G B Eb F"}, {"G7", "(9)", "G: G B D F A"},
      {"G", "(#4)", "G: G B C#"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChord c = chord_named(cases[i].chord);
    way_numeral_changes_apply(way_text(cases[i].changes), a_key("C"), &c);
    char tones[128];
    spell_chord(&c, tones, sizeof(tones));
    if (strcmp(tones, cases[i].tones) != 0)
      fail_msg("%s%s: %s", cases[i].chord, cases[i].changes, tones);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_changes_are_told_from_chord_symbols),
      cmocka_unit_test(test_changes_replace_and_add_tones),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
