#include "take/figures.h"

#include "check.h"
#include "played.h"

static void test_figures_of_a_review(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: D major\n| D | G>3 |\n", 4, 0, {4, 1, 66},
                              {5, 1, 67}, {6, 1, 66}, {8, 1, 71}, {13.5, 1, 69});
  const WayLogTake t = way_figures(r.review, 7.5, "Rope Walk", "a/b/c.mid");
  static const struct {
    WayFigure figure;
    double value;
  } want[] = {{WAY_FIGURE_SECONDS, 7.5},   {WAY_FIGURE_BARS, 3},
              {WAY_FIGURE_NOTES, 5},       {WAY_FIGURE_CHORD_TONES, 4},
              {WAY_FIGURE_SCALE_TONES, 1}, {WAY_FIGURE_CHROMATIC, 0},
              {WAY_FIGURE_LANDINGS, 3},    {WAY_FIGURE_LANDED, 3},
              {WAY_FIGURE_ON_TIME, 2},     {WAY_FIGURE_IN_REST, 1},
              {WAY_FIGURE_TARGETS, 1},     {WAY_FIGURE_TARGETS_MET, 1}};
  for (size_t i = 0; i < WAY_COUNT(want); ++i)
    if (t.figures[want[i].figure] != want[i].value)
      fail_msg("%s: %g", way_figure_name(want[i].figure), t.figures[want[i].figure]);
  assert_string_equal(t.tune, "Rope Walk");
  assert_string_equal(t.key, "D major");
  assert_string_equal(t.take, "c.mid");
  reviewed_free(r);
}

static void test_a_take_is_known_by_tune_and_notes(void** state) {
  (void)state;
  const char chart[] = "key: D major\n| D | G |\n";
  const Reviewed a = REVIEWED(chart, 0, 0, {4, 1, 66}),
                 b = REVIEWED(chart, 4, 1, {4, 1, 66}),
                 c = REVIEWED(chart, 0, 0, {4, 1, 67});
  const int64_t is = way_figures(a.review, 1, "A", "x.mid").fingerprint;
  assert_true(is == way_figures(b.review, 2, "A", "y.mid").fingerprint);
  assert_true(is != way_figures(b.review, 2, "B", "y.mid").fingerprint);
  assert_true(is != way_figures(c.review, 1, "A", "x.mid").fingerprint);
  reviewed_free(a);
  reviewed_free(b);
  reviewed_free(c);
}

static void test_measures(void** state) {
  (void)state;
  WayLogTake t = {
      .figures = {
          [WAY_FIGURE_NOTES] = 12, [WAY_FIGURE_BARS] = 4, [WAY_FIGURE_BASIC] = 9}};
  double value = 7;
  assert_true(way_measure(&t, WAY_MEASURE_DENSITY, &value));
  assert_true(value == 3);
  assert_true(way_measure(&t, WAY_MEASURE_BASIC, &value));
  assert_true(value == 0.75);
  assert_false(way_measure(&t, WAY_MEASURE_TARGETS, &value));
  assert_true(value == 0.75);
  assert_true(way_measure(&t, WAY_MEASURE_SPREAD, &value));
  assert_true(value == 0);
}

// Lengths of months and leap years as in the Gregorian calendar: 2000 and 2024 are leap
// years, 1900 and 2023 are none.
static void test_days(void** state) {
  (void)state;
  assert_true(way_day_valid("2024-02-29"));
  assert_true(way_day_valid("2000-02-29"));
  static const char* const none[] = {"2023-02-29", "1900-02-29", "2026-13-01",
                                     "2026-00-10", "2026-04-31", "2026-4-1",
                                     "2026/04/01", "",           "2026-04-010"};
  for (size_t i = 0; i < WAY_COUNT(none); ++i)
    if (way_day_valid(none[i])) fail_msg("%s", none[i]);
  assert_int_equal(way_days_between((WayDay){"2024-02-28"}, (WayDay){"2024-03-01"}), 2);
  assert_int_equal(way_days_between((WayDay){"1900-02-28"}, (WayDay){"1900-03-01"}), 1);
  assert_int_equal(way_days_between((WayDay){"2025-12-31"}, (WayDay){"2026-01-01"}), 1);
  // 36524 days from one century to the next without a leap year at its start.
  assert_int_equal(way_days_between((WayDay){"1900-03-01"}, (WayDay){"2000-03-01"}),
                   36525);
  way_days_between((WayDay){"anything"}, (WayDay){""});
}

static void test_rows_of_days(void** state) {
  (void)state;
  static const WayDay days[] = {{"2026-02-26"}, {"2026-02-27"}, {"2026-02-28"},
                                {"2026-03-01"}, {"2026-03-01"}, {"2026-03-03"},
                                {"2026-03-04"}};
  uint32_t last = 9;
  assert_int_equal(way_days_in_a_row(days, WAY_COUNT(days), &last), 4);
  assert_int_equal(last, 2);
  assert_int_equal(way_days_in_a_row(days, 1, &last), 1);
  assert_int_equal(last, 1);
  assert_int_equal(way_days_in_a_row(days, 0, &last), 0);
  assert_int_equal(last, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_figures_of_a_review),
      cmocka_unit_test(test_a_take_is_known_by_tune_and_notes),
      cmocka_unit_test(test_measures),
      cmocka_unit_test(test_days),
      cmocka_unit_test(test_rows_of_days),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
