#include "theory/function.h"

#include "chords.h"

// Common practice, no source.
static const struct {
  const char *key, *chord, *next;
  WayFunction function;
} cases[] = {
    {"C", "C", NULL, WAY_FUNCTION_TONIC},
    {"C", "C/G", "G7", WAY_FUNCTION_DOMINANT},
    {"C", "Cmaj7", NULL, WAY_FUNCTION_TONIC},
    {"C", "C7", NULL, WAY_FUNCTION_TONIC},
    {"C", "C7", "F", WAY_FUNCTION_DOMINANT},
    {"C", "C7", "F7",
     WAY_FUNCTION_TONIC}, // the step of the blues: common practice, no source
    {"C", "Dm7", NULL, WAY_FUNCTION_PREDOMINANT},
    {"C", "D7", NULL, WAY_FUNCTION_DOMINANT},
    {"C", "D7", "Dm7", WAY_FUNCTION_DOMINANT},
    {"C", "E7", "Am", WAY_FUNCTION_DOMINANT},
    {"C", "E", "Am", WAY_FUNCTION_DOMINANT},
    {"C", "F", NULL, WAY_FUNCTION_PREDOMINANT},
    {"C", "Fm6", "C", WAY_FUNCTION_PREDOMINANT},
    {"C", "F7", "C7", WAY_FUNCTION_PREDOMINANT},
    {"C", "G13", "C", WAY_FUNCTION_DOMINANT},
    {"C", "G7/B", "C", WAY_FUNCTION_DOMINANT},
    {"C", "Gm7", NULL, WAY_FUNCTION_DOMINANT},
    {"C", "Gm7", "C7", WAY_FUNCTION_PREDOMINANT},
    {"C", "Em7b5", "A7", WAY_FUNCTION_PREDOMINANT},
    {"C", "Em7", "A7", WAY_FUNCTION_TONIC},
    {"Am", "Gm7", "C7", WAY_FUNCTION_PREDOMINANT},
    {"C", "Ab7", "G7", WAY_FUNCTION_DOMINANT},
    {"C", "Db7", "C", WAY_FUNCTION_DOMINANT},
    {"C", "Bb7", "C", WAY_FUNCTION_DOMINANT},
    {"C", "Bb", "F", WAY_FUNCTION_PREDOMINANT},
    {"C", "C#dim7", "Dm", WAY_FUNCTION_DOMINANT},
    {"C", "Ebdim7", "Dm7", WAY_FUNCTION_NONE},
    {"C", "Bm7b5", "C", WAY_FUNCTION_DOMINANT},
    {"C", "F/G", "C", WAY_FUNCTION_PREDOMINANT},
    {"Am", "Am", NULL, WAY_FUNCTION_TONIC},
    {"Am", "F", NULL, WAY_FUNCTION_PREDOMINANT},
    {"Am", "E7", "Am", WAY_FUNCTION_DOMINANT},
    {"Am", "G", "F", WAY_FUNCTION_PREDOMINANT},
    {"Am", "G7", "C", WAY_FUNCTION_DOMINANT},
    {"Am", "G#dim7", "Am", WAY_FUNCTION_DOMINANT},
    {"Am", "Bm7b5", "E7", WAY_FUNCTION_PREDOMINANT},
    {"Am", "B7", "E7", WAY_FUNCTION_DOMINANT},
    {"Am", "E9", "Am", WAY_FUNCTION_DOMINANT},
    {"D dorian", "C", "Dm", WAY_FUNCTION_PREDOMINANT},
    {"C", "N.C.", "C", WAY_FUNCTION_NONE},
};

static void test_chords_have_their_function(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayChord chord = chord_named(cases[i].chord);
    WayChord next = way_chord_none();
    if (cases[i].next) next = chord_named(cases[i].next);
    const WayFunction f =
        way_function(&chord, cases[i].next ? &next : NULL, a_key(cases[i].key));
    if (f != cases[i].function)
      fail_msg("%s in %s: %s", cases[i].chord, cases[i].key, way_function_name(f));
  }
}

// Property: a chord and its key moved together keep their function.
static void test_transposition_keeps_the_function(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 20000; ++seed) {
    const Moved m = draw_moved(seed);
    if (way_function(&m.chord, NULL, m.key) !=
        way_function(&m.moved_chord, NULL, m.moved_key))
      fail_msg("seed %u: another function", seed);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_chords_have_their_function),
      cmocka_unit_test(test_transposition_keeps_the_function),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
