#include "theory/chord_kind.h"

#include "check.h"
#include "theory/chord_read.h"

// Common practice, no source: the kinds of chords every chart is made of.
static void test_kind_of_symbols(void** state) {
  (void)state;
  static const struct {
    const char* symbol;
    WayChordKind kind;
  } rows[] = {
      {"C", WAY_CHORD_KIND_MAJOR},
      {"C6", WAY_CHORD_KIND_MAJOR},
      {"C6/9", WAY_CHORD_KIND_MAJOR},
      {"Cadd9", WAY_CHORD_KIND_MAJOR},
      {"C/E", WAY_CHORD_KIND_MAJOR},
      {"F#m", WAY_CHORD_KIND_MINOR},
      {"Bbm6", WAY_CHORD_KIND_MINOR},
      {"G7", WAY_CHORD_KIND_DOMINANT},
      {"G7b9", WAY_CHORD_KIND_DOMINANT},
      {"G13", WAY_CHORD_KIND_DOMINANT},
      {"G7#5", WAY_CHORD_KIND_DOMINANT},
      {"G7alt", WAY_CHORD_KIND_DOMINANT},
      {"Cmaj7", WAY_CHORD_KIND_MAJOR_SEVENTH},
      {"Cmaj9", WAY_CHORD_KIND_MAJOR_SEVENTH},
      {"Dm7", WAY_CHORD_KIND_MINOR_SEVENTH},
      {"Dm11", WAY_CHORD_KIND_MINOR_SEVENTH},
      {"Bm7b5", WAY_CHORD_KIND_HALF_DIMINISHED},
      {"Bdim", WAY_CHORD_KIND_DIMINISHED},
      {"Bdim7", WAY_CHORD_KIND_DIMINISHED},
      {"Caug", WAY_CHORD_KIND_AUGMENTED},
      {"Csus4", WAY_CHORD_KIND_SUSPENDED},
      {"Csus2", WAY_CHORD_KIND_SUSPENDED},
      {"C7sus4", WAY_CHORD_KIND_SUSPENDED},
      {"C5", WAY_CHORD_KIND_OTHER},
      {"N.C.", WAY_CHORD_KIND_OTHER},
  };
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    WayChord c;
    assert_int_equal(way_chord_read(way_text(rows[i].symbol), &c, NULL), WAY_OK);
    if (way_chord_kind(&c) != rows[i].kind)
      fail_msg("%s is %s", rows[i].symbol, way_chord_kind_name(way_chord_kind(&c)));
  }
}

static void test_kind_names_differ(void** state) {
  (void)state;
  for (int a = 0; a < WAY_CHORD_KIND_COUNT; ++a)
    for (int b = 0; b < a; ++b)
      assert_string_not_equal(way_chord_kind_name((WayChordKind)a),
                              way_chord_kind_name((WayChordKind)b));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_kind_of_symbols),
      cmocka_unit_test(test_kind_names_differ),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
