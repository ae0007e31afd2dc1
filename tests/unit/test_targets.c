#include "chart/targets.h"

#include "alloc.h"
#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"

#include <stdlib.h>

static WayTimeline* tune(void) {
  WayChart* const c = chart_of("key: C\n| Dm7 | G7>5 | Cmaj7 | N.C. |\n");
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(c, &t), WAY_OK);
  way_chart_free(c);
  return t;
}

// Whether `pitch` is the tone `degree` of a span's chord.
static bool is_tone(const WayTimeline* t, uint32_t span, unsigned pitch, WayDegree d) {
  const WaySpelling root = way_timeline_harmony(t, span)->chord.root;
  return way_pc((int)pitch) == way_spelling_pc(way_spelling_above(root, d));
}

// The timeline's spans hold the line of the usual range; another range, another line.
static void test_the_line_keeps_to_its_range_and_to_targets(void** state) {
  (void)state;
  WayTimeline* const t = tune();
  static const uint8_t lows[] = {WAY_TARGETS_LOW, 36};
  for (size_t k = 0; k < WAY_COUNT(lows); ++k) {
    WayLineTone* line = NULL;
    assert_int_equal(way_targets_line(t, lows[k], (uint8_t)(lows[k] + 24), &line),
                     WAY_OK);
    for (uint32_t i = 0; i < 3; ++i) {
      assert_in_range(line[i].pitch, lows[k], lows[k] + 24);
      assert_true(is_tone(t, i, line[i].pitch, line[i].degree));
      if (!k) assert_int_equal(line[i].pitch, t->spans[i].line);
    }
    assert_int_equal(line[1].degree.number, 5);
    assert_int_equal(line[3].pitch, WAY_LINE_SILENT);
    assert_int_equal(t->spans[3].line, WAY_LINE_SILENT);
    free(line);
  }
  WayLineTone* none = NULL;
  assert_int_equal(way_targets_line(t, 60, 61, &none), WAY_ERR_RANGE);
  assert_null(none);
  way_timeline_free(t);
}

// Thirds and sevenths, but what the chart says goes first.
static void test_own_targets_stay(void** state) {
  (void)state;
  WayTimeline* const t = tune();
  WayDegree* d = NULL;
  assert_int_equal(way_targets_new(t, &d), WAY_OK);
  assert_true(d[0].number == 3 || d[0].number == 7);
  assert_int_equal(d[1].number, 5);
  assert_true(d[2].number == 3 || d[2].number == 7);
  assert_int_equal(d[3].number, 0);
  free(d);
  way_timeline_free(t);
}

static void test_out_of_memory_changes_nothing(void** state) {
  (void)state;
  WayTimeline* const t = tune();
  for (long i = 1; i <= 4; ++i) {
    WayDegree* d = NULL;
    alloc_fail_at(i);
    const WayStatus st = way_targets_new(t, &d);
    alloc_fail_at(0);
    assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_null(d);
  }
  way_timeline_free(t);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_line_keeps_to_its_range_and_to_targets),
      cmocka_unit_test(test_own_targets_stay),
      cmocka_unit_test(test_out_of_memory_changes_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
