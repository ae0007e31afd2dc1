#include "chart/chart.h"

#include "chart_text.h"
#include "check.h"

static void test_no_chart_may_be_freed(void** state) {
  (void)state;
  way_chart_free(NULL);
}

static void test_a_chart_is_freed_whole(void** state) {
  (void)state;
  way_chart_free(chart_of("form: A\n[A] | C |")); // leaks are the sanitizer's to see
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_no_chart_may_be_freed),
      cmocka_unit_test(test_a_chart_is_freed_whole),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
