#include "check.h"
#include "played.h"
#include "take/review_words.h"

static void test_names(void** state) {
  (void)state;
  WayTimeline* const t = timeline_of("| F#m7b5 |\n");
  const WayHarmony* const h = way_timeline_harmony(t, 0);
  char chord[WAY_SYMBOL_MAX], name[WAY_SPELLING_MAX];
  assert_string_equal(way_chord_text(&h->chord, chord), "F#m7b5");
  assert_string_equal(way_degree_text(h->chord.tones[1], name), "b3");
  assert_string_equal(way_degree_text(h->chord.tones[0], name), "R");
  assert_string_equal(way_note_text(h->chord.root, name), "F#");
  way_timeline_free(t);
}

static void check_column(const char* chart, int width) {
  WayTimeline* const t = timeline_of(chart);
  assert_int_equal(way_chord_column(t), width);
  way_timeline_free(t);
}

static void test_the_column_holds_its_heading_and_most_chords(void** state) {
  (void)state;
  check_column("| C |\n", 5);
  check_column("| C | F#m7b5 | G |\n", 6);
  check_column("| C7b5b9#9#11b13/F# |\n", 16);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_names),
      cmocka_unit_test(test_the_column_holds_its_heading_and_most_chords),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
