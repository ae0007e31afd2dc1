#include "chart/chart_write.h"

#include "alloc.h"
#include "chart_random.h"
#include "chart_text.h"
#include "check.h"
#include "rng.h"

#include <stdlib.h>

static char* written(const WayChart* c) {
  char* text = NULL;
  assert_int_equal(way_chart_write(c, &text), WAY_OK);
  return text;
}

static void test_the_layout_is_fixed(void** state) {
  (void)state;
  WayChart* const c = chart_of(
      "TITLE:Slack Tide;x\nkey:d\ntime:4/4\ntempo:92.50\nform:A [Low Water] A\n[A]|Dm|"
      "Gm7>b3 / / A7|%|C-7/Bb|iv|:F|1-2.F:|3.C:|G\n[Low "
      "Water]\nkey:F\ntime:3/4\n|bVII");
  char* const text = written(c);
  assert_string_equal(text, "title: Slack Tide\n"
                            "key: D minor\n"
                            "time: 4/4\n"
                            "tempo: 92.5\n"
                            "form: A [Low Water] A\n"
                            "\n"
                            "[A]\n"
                            "| Dm | Gm7>b3 / / A7 | % | Cm7/Bb |\n"
                            "| iv |\n"
                            "|: F | 1.2. F :| 3. C :| G |\n"
                            "\n"
                            "[Low Water]\n"
                            "key: F major\n"
                            "time: 3/4\n"
                            "| bVII |\n");
  free(text);
  way_chart_free(c);
}

static void test_what_is_written_reads_as_the_same(void** state) {
  (void)state;
  static char text[8192];
  for (uint32_t seed = 1; seed <= 3000; ++seed) {
    uint32_t rng = seed;
    chart_random(&rng, text, sizeof(text));
    WayChart* const c = chart_of(text);
    char* const once = written(c);
    WayChart* const again = chart_of(once);
    char* const twice = written(again);
    if (!chart_equal(c, again) || strcmp(once, twice))
      fail_msg("seed %u:\n%s\nis written\n%s", seed, text, once);
    free(once);
    free(twice);
    way_chart_free(c);
    way_chart_free(again);
  }
}

static void test_no_memory_is_reported(void** state) {
  (void)state;
  WayChart* const c = chart_of("| C | F |\n| C | F |");
  for (long n = 1;; ++n) {
    char* text = NULL;
    alloc_fail_at(n);
    const WayStatus st = way_chart_write(c, &text);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    assert_true(failed == !text);
    free(text);
    if (!failed) break;
  }
  way_chart_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_layout_is_fixed),
      cmocka_unit_test(test_what_is_written_reads_as_the_same),
      cmocka_unit_test(test_no_memory_is_reported),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
