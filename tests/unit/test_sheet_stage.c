#include "draw/sheet_stage.h"

#include "check.h"

// That names, words and materials are those of the presets is seen in
// tests/cli/sheet.txt, which reads both.
static void test_stages_are_numbered(void** state) {
  (void)state;
  for (unsigned i = 0; i < WAY_STAGES; ++i) {
    assert_int_equal(way_stage(i)->name[0], '1' + (int)i);
    assert_int_equal(way_stage(i)->name[1], ' ');
    assert_non_null(strstr(way_stage(i)->words, "Listen"));
  }
}

static void test_materials_of_a_loop_do_not_change_with_the_chord(void** state) {
  (void)state;
  for (unsigned i = 0; i < WAY_STAGES; ++i)
    assert_int_equal(way_stage_by_chord(way_stage(i)),
                     way_stage(i)->material != WAY_MATERIAL_PENTATONIC &&
                         way_stage(i)->material != WAY_MATERIAL_BLUES);
  assert_false(way_stage_by_chord(way_stage(0)));
  assert_true(way_stage_by_chord(way_stage(7)));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_stages_are_numbered),
      cmocka_unit_test(test_materials_of_a_loop_do_not_change_with_the_chord),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
