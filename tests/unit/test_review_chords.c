#include "alloc.h"
#include "check.h"
#include "played.h"
#include "take/review_chords.h"

static void test_landings_are_summed_up_by_chord(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: C major\n| C | G7 | C | F |\n", 0, 0, {0, 1, 64},
                              {4, 1, 71}, {8, 1, 64}, {17, 1, 67}, {28, 1, 65});
  WayChordLandings* rows = NULL;
  uint32_t n = 0;
  assert_int_equal(way_review_chords(r.review, &rows, &n), WAY_OK);
  assert_int_equal(n, 3); // C, G7, F
  assert_int_equal(rows[0].changes, 4);
  assert_int_equal(rows[0].landed[4], 2);
  assert_int_equal(rows[0].landed[7], 1);
  assert_int_equal(rows[0].first, 0);
  assert_int_equal(rows[1].changes, 2);
  assert_int_equal(rows[1].landed[4], 1);
  assert_int_equal(rows[2].landed[0], 1);
  assert_true(way_chord_landings_open(&rows[0], (WayDegree){1, 0}));
  assert_false(way_chord_landings_open(&rows[0], (WayDegree){3, 0}));
  free(rows);
  reviewed_free(r);
}

static void test_memory_running_out(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: C major\n| C | G7 |\n", 0, 0, {0, 1, 64});
  for (long i = 1; i <= 2; ++i) {
    WayChordLandings* rows = NULL;
    uint32_t n = 0;
    alloc_fail_at(i);
    const WayStatus st = way_review_chords(r.review, &rows, &n);
    alloc_fail_at(0);
    assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_null(rows);
  }
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_landings_are_summed_up_by_chord),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
