#include "check.h"
#include "theory/names.h"

static bool held(const char* text) {
  return way_names_hold("whole-half|lydian b7|ferryman's mode #1", way_text(text));
}

static void test_case_blanks_and_signs_do_not_count(void** state) {
  (void)state;
  assert_true(held("whole half"));
  assert_true(held(" Whole_Half "));
  assert_true(held("Lydian \u266D7"));
  assert_true(held("ferrymans mode \u266F1"));
  assert_true(held("Ferryman\u2019s mode#1"));
}

static void test_other_texts_are_not_held(void** state) {
  (void)state;
  assert_false(held(""));
  assert_false(held("whole"));
  assert_false(held("whole-half|lydian b7"));
  assert_false(held("lydian b"));
  assert_false(held("lydian b77"));
  assert_false(held("\xFF"));
  assert_false(way_names_hold("", way_text("")));
  assert_false(way_names_hold("a", (WayText){"a\0", 2}));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_case_blanks_and_signs_do_not_count),
      cmocka_unit_test(test_other_texts_are_not_held),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
