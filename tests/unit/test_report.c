#include "draw/report.h"

#include "check.h"
#include "played.h"

static const char chart[] = "key: D major\n| D | G>3 | A7>3 | Bm |\n";

/// Pages of the report on `n` quarter notes, each a step from the one before.
static long pages_of(uint32_t n) {
  Played* const notes = calloc(n + 1, sizeof(*notes));
  assert_non_null(notes);
  for (uint32_t i = 0; i < n; ++i)
    notes[i] = (Played){i + i / 7, 0.9, 60 + (int)(i % 13)};
  const Reviewed r = reviewed(chart, 0, 0, notes, n);
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_report(r.review, "Rope Walk", "a.mid", &bytes, &size), WAY_OK);
  for (size_t i = 0; i < size; ++i)
    if (!bytes[i]) bytes[i] = ' ';
  bytes[size - 1] = '\0';
  const char* const count = strstr(bytes, "/Count ");
  assert_non_null(count);
  const long pages = strtol(count + 7, NULL, 10);
  free(bytes);
  reviewed_free(r);
  free(notes);
  return pages;
}

static void test_a_usual_take_is_one_page(void** state) {
  (void)state;
  assert_int_equal(pages_of(0), 1);
  assert_int_equal(pages_of(1), 1);
  assert_int_equal(pages_of(110), 1); // 32 bars
}

static void test_a_long_take_goes_on(void** state) {
  (void)state;
  assert_true(pages_of(1000) > 2);
}

static void test_a_take_too_long_for_paper_is_told(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {0, 1, 60}, {1e6, 1, 60});
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_report(r.review, "", "a.mid", &bytes, &size), WAY_ERR_RANGE);
  assert_null(bytes);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_usual_take_is_one_page),
      cmocka_unit_test(test_a_long_take_goes_on),
      cmocka_unit_test(test_a_take_too_long_for_paper_is_told),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
