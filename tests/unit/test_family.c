#include "theory/family.h"

#include "check.h"
#include "theory/chord_name.h"

// Common practice, no source: the families of chord symbols every chart is made of.
static void test_family_of_symbols(void** state) {
  (void)state;
  static const struct {
    const char* symbol;
    WayFamily family;
  } rows[] = {
      {"C", WAY_FAMILY_MAJOR},
      {"C6", WAY_FAMILY_MAJOR},
      {"C6/9", WAY_FAMILY_MAJOR},
      {"Cadd9", WAY_FAMILY_MAJOR},
      {"C/E", WAY_FAMILY_MAJOR},
      {"F#m", WAY_FAMILY_MINOR},
      {"Bbm6", WAY_FAMILY_MINOR},
      {"G7", WAY_FAMILY_DOMINANT},
      {"G7b9", WAY_FAMILY_DOMINANT},
      {"G13", WAY_FAMILY_DOMINANT},
      {"G7#5", WAY_FAMILY_DOMINANT},
      {"G7alt", WAY_FAMILY_DOMINANT},
      {"Cmaj7", WAY_FAMILY_MAJOR_SEVENTH},
      {"Cmaj9", WAY_FAMILY_MAJOR_SEVENTH},
      {"Dm7", WAY_FAMILY_MINOR_SEVENTH},
      {"Dm11", WAY_FAMILY_MINOR_SEVENTH},
      {"Bm7b5", WAY_FAMILY_HALF_DIMINISHED},
      {"Bdim", WAY_FAMILY_DIMINISHED},
      {"Bdim7", WAY_FAMILY_DIMINISHED},
      {"Caug", WAY_FAMILY_AUGMENTED},
      {"Csus4", WAY_FAMILY_SUSPENDED},
      {"Csus2", WAY_FAMILY_SUSPENDED},
      {"C7sus4", WAY_FAMILY_SUSPENDED},
      {"C5", WAY_FAMILY_OTHER},
      {"N.C.", WAY_FAMILY_OTHER},
  };
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    WayChord c;
    assert_int_equal(way_chord_read(way_text(rows[i].symbol), &c, NULL), WAY_OK);
    if (way_family(&c) != rows[i].family)
      fail_msg("%s is %s", rows[i].symbol, way_family_name(way_family(&c)));
  }
}

static void test_family_names_differ(void** state) {
  (void)state;
  for (int a = 0; a < WAY_FAMILY_COUNT; ++a)
    for (int b = 0; b < a; ++b)
      assert_string_not_equal(way_family_name((WayFamily)a),
                              way_family_name((WayFamily)b));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_family_of_symbols),
      cmocka_unit_test(test_family_names_differ),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
