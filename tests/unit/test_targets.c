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
      cmocka_unit_test(test_own_targets_stay),
      cmocka_unit_test(test_out_of_memory_changes_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
