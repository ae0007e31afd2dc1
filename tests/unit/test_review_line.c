#include "check.h"
#include "played.h"
#include "take/review_line.h"

static const char chart[] = "key: C major\n| C | C | G7 | C |\n";

static void check_kind(const WayReview* r, uint32_t i, WayEmbellish kind) {
  assert_in_range(r->notes[i].kind, 0, WAY_EMBELLISH_COUNT);
  if (r->notes[i].kind != kind)
    fail_msg("note %u: %s", i, way_embellish_name((WayEmbellish)r->notes[i].kind));
}

// Definitions of Open Music Theory, "Embellishing tones".
static void test_what_notes_do(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {0, 1, 60}, {1, 1, 62}, {2, 1, 64},
                              {3, 1, 65}, {4, 1, 64}, {5, 1, 63}, {6, 1, 64});
  check_kind(r.review, 0, WAY_EMBELLISH_CHORD_TONE);
  check_kind(r.review, 1, WAY_EMBELLISH_PASSING);
  check_kind(r.review, 3, WAY_EMBELLISH_UPPER_NEIGHBOUR);
  check_kind(r.review, 5, WAY_EMBELLISH_LOWER_NEIGHBOUR);
  assert_int_equal(r.review->totals.kinds[WAY_EMBELLISH_CHORD_TONE], 4);
  assert_int_equal(r.review->totals.tensions, 3);
  assert_int_equal(r.review->totals.resolved, 3);
  assert_int_equal(r.review->totals.stepped, 3);
  assert_int_equal(r.review->notes[1].resolves_to, 2);
  assert_int_equal(r.review->notes[0].resolves_to, WAY_NO_NOTE);
  reviewed_free(r);
}

static void test_the_highest_of_a_chord_is_the_line(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {0, 1, 48}, {0.05, 1, 64}, {0.1, 1, 55},
                              {1, 1, 65}, {2, 1, 67});
  check_kind(r.review, 0, WAY_EMBELLISH_COUNT);
  check_kind(r.review, 1, WAY_EMBELLISH_CHORD_TONE);
  check_kind(r.review, 2, WAY_EMBELLISH_COUNT);
  check_kind(r.review, 3, WAY_EMBELLISH_PASSING);
  reviewed_free(r);
}

static void test_resolutions(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED(chart, 0, 0, {0, 1, 65}, {1, 1, 62}, {2, 1, 64}, // enclosure of E
               {3, 1, 66}, {4, 1, 72},                          // left by leap
               {7, 2, 65},                                      // F is a tone of G7
               {12, 0.5, 66}, {14, 1, 67});                     // a rest of a beat
  assert_int_equal(r.review->notes[0].resolves_to, 2);
  assert_int_equal(r.review->notes[1].resolves_to, 2);
  assert_int_equal(r.review->notes[3].resolves_to, WAY_NO_NOTE);
  assert_int_equal(r.review->notes[5].resolves_to, 5);
  assert_int_equal(r.review->notes[6].resolves_to, WAY_NO_NOTE);
  assert_int_equal(r.review->totals.resolved, 3);
  reviewed_free(r);
}

static void test_a_short_tail_over_a_change_stays_with_its_chord(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {7, 1.1, 65}, {9, 1, 71});
  assert_int_equal(r.review->notes[0].resolves_to, WAY_NO_NOTE);
  reviewed_free(r);
}

static void test_notes_before_the_chart_have_no_kind(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 4, 0, {2, 2, 62}, {3, 1, 61}, {4, 1, 60});
  check_kind(r.review, 0, WAY_EMBELLISH_COUNT);
  check_kind(r.review, 1, WAY_EMBELLISH_COUNT);
  check_kind(r.review, 2, WAY_EMBELLISH_CHORD_TONE);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_what_notes_do),
      cmocka_unit_test(test_the_highest_of_a_chord_is_the_line),
      cmocka_unit_test(test_resolutions),
      cmocka_unit_test(test_a_short_tail_over_a_change_stays_with_its_chord),
      cmocka_unit_test(test_notes_before_the_chart_have_no_kind),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
