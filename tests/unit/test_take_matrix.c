#include "draw/take_matrix.h"

#include "check.h"
#include "played.h"

static void test_every_note_over_a_chord_is_counted_once(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n| D | G | N.C. | D |\n", 4, 0, {2, 1, 62}, {4, 1, 66},
               {5, 1, 66}, {8, 1, 71}, {13, 1, 60}, {16, 1, 69}, {17, 1, 69});
  WayMatrix m;
  assert_int_equal(way_matrix_new(r.review, &m), WAY_OK);
  assert_int_equal(m.n, 2); // D and G, once each
  assert_int_equal(m.rows[0].notes[4], 2);
  assert_int_equal(m.rows[0].notes[7], 2);
  assert_int_equal(m.rows[0].landed[4], 1);
  assert_int_equal(m.rows[0].landed[7], 1);
  assert_int_equal(m.rows[1].notes[4], 1);
  assert_int_equal(m.most, 2);
  uint32_t sum = 0;
  for (uint32_t i = 0; i < m.n; ++i)
    for (int k = 0; k < 12; ++k) sum += m.rows[i].notes[k];
  assert_int_equal(sum, r.take->n - r.review->totals.without_chord);
  way_matrix_free(&m);
  reviewed_free(r);
}

static void test_rows_beyond_the_most_are_left_out(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: C\n| C | F | G | Am |\n", 0, 0, {0, 1, 60}, {14, 1, 60});
  WayMatrix m;
  assert_int_equal(way_matrix_new(r.review, &m), WAY_OK);
  assert_int_equal(m.n, 4);
  const WayMatrixFrame all = {0, 0, 300, 10, 10}, two = {0, 0, 300, 10, 2};
  assert_true(way_matrix_height(&m, &all) > way_matrix_height(&m, &two) + 9);
  way_matrix_free(&m);
  reviewed_free(r);
}

static void test_pictures_of_every_kind(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: C\n| C | N.C. |\n", 0, 0, {0, 1, 60}, {4, 1, 60});
  for (int kind = WAY_CANVAS_SVG; kind <= WAY_CANVAS_PDF; ++kind) {
    char* bytes = NULL;
    size_t size = 0;
    assert_int_equal(
        way_take_matrix(r.review, "", "a.mid", (WayCanvasKind)kind, &bytes, &size),
        WAY_OK);
    assert_true(size > 100);
    free(bytes);
  }
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_note_over_a_chord_is_counted_once),
      cmocka_unit_test(test_rows_beyond_the_most_are_left_out),
      cmocka_unit_test(test_pictures_of_every_kind),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
