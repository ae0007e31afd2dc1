#include "chart/chart_key.h"

#include "alloc.h"
#include "chart_text.h"
#include "check.h"
#include "theory/chord_read.h"

#include <stdlib.h>

static void test_the_form_as_played_decides(void** state) {
  (void)state;
  // Two bars in F are written, but twelve in D are played.
  WayChart* const c = chart_of("form: A A A B\n[B] | F | C7 |\n[A] | D | G | A7 | D |");
  WayKeyFinding found;
  assert_int_equal(way_chart_key_find(c, &found), WAY_OK);
  assert_int_equal(way_spelling_pc(found.best.key.tonic), 2);
  assert_true(found.best.confidence >= found.runner_up.confidence);
  way_chart_free(c);
}

static WayHeardChord heard(const char* symbol, float beats) {
  WayHeardChord h = {.beats = beats};
  assert_int_equal(way_chord_read(way_text(symbol), &h.chord, NULL), WAY_OK);
  return h;
}

static void test_chords_weigh_by_how_long_they_sound(void** state) {
  (void)state;
  const WayHeardChord chords[] = {heard("C", 3), heard("Em7", 1), heard("D7", 4)};
  const WayKeyFinding want = way_key_find(chords, WAY_COUNT(chords));
  WayChart* const c = chart_of("| C / / Em7 | D7 |");
  WayKeyFinding got;
  assert_int_equal(way_chart_key_find(c, &got), WAY_OK);
  assert_true(got.best.confidence == want.best.confidence);
  assert_true(got.runner_up.confidence == want.runner_up.confidence);
  way_chart_free(c);
}

static void test_parts_have_keys_of_their_own(void** state) {
  (void)state;
  WayChart* const c =
      chart_of("key: C\n| C | Am7 | Dm7 | G7 | C | F | G7 | C |\n"
               "| Fm7 | Bb7 | Ebmaj7 | Cm7 | Fm7 | Bb7 | Ebmaj7 | % |\n");
  WayKey* keys = NULL;
  assert_int_equal(way_chart_key_parts(c, &keys), WAY_OK);
  assert_int_equal(way_spelling_pc(keys[0].tonic), 0);
  assert_int_equal(way_spelling_pc(keys[14].tonic), 3);
  free(keys);
  way_chart_free(c);
}

static void test_no_memory_is_reported(void** state) {
  (void)state;
  WayChart* const c = chart_of("key: C\n| C | G7 |");
  WayKeyFinding found;
  alloc_fail_at(1);
  assert_int_equal(way_chart_key_find(c, &found), WAY_ERR_NO_MEMORY);
  for (long n = 1; n <= 3; ++n) {
    WayKey* keys = NULL;
    alloc_fail_at(n);
    assert_int_equal(way_chart_key_parts(c, &keys), WAY_ERR_NO_MEMORY);
    assert_null(keys);
  }
  alloc_fail_at(0);
  way_chart_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_form_as_played_decides),
      cmocka_unit_test(test_chords_weigh_by_how_long_they_sound),
      cmocka_unit_test(test_parts_have_keys_of_their_own),
      cmocka_unit_test(test_no_memory_is_reported),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
