#include "theory.h"
#include "theory/note_list.h"

static void test_numbers_and_names(void** state) {
  (void)state;
  static const struct {
    const char* text;
    WayPcSet set;
    WayPc bass;
  } cases[] = {
      {"60 64 67", 1 << 0 | 1 << 4 | 1 << 7, 0},
      {"67,60,64", 1 << 0 | 1 << 4 | 1 << 7, 0},
      {" 64, 60 ", 1 << 0 | 1 << 4, 0},
      {"E G C", 1 << 0 | 1 << 4 | 1 << 7, 4},
      {"C4 G3", 1 << 0 | 1 << 7, 7},
      {"B#3 C4", 1 << 0, 0},
      {"Cb4 Bb3", 1 << 11 | 1 << 10, 10},
      {"C-1 G9", 1 << 0 | 1 << 7, 0},
      {"0 127", 1 << 0 | 1 << 7, 0},
      {"C\u266F4\tE\u266D4", 1 << 1 | 1 << 3, 1},
      {"G9 C", 1 << 7 | 1 << 0, 0},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayNoteList list;
    assert_int_equal(way_note_list_read(way_text(cases[i].text), &list, NULL), WAY_OK);
    assert_int_equal(list.set, cases[i].set);
    if (list.bass != cases[i].bass) fail_msg("%s: bass %d", cases[i].text, list.bass);
  }
}

static void test_spelling_is_kept(void** state) {
  (void)state;
  WayNoteList list;
  assert_int_equal(way_note_list_read(way_text("Eb 67 Bb"), &list, NULL), WAY_OK);
  assert_true(way_spelling_equal(list.written[3], a_note("Eb")));
  assert_true(way_spelling_equal(list.written[10], a_note("Bb")));
  assert_true(list.written[7].letter < 0);
}

static void test_errors_pin_the_place(void** state) {
  (void)state;
  static const struct {
    const char* text;
    WayStatus status;
    unsigned column;
  } cases[] = {
      {"", WAY_ERR_SYNTAX, 1},          {"60 H", WAY_ERR_SYNTAX, 4},
      {"128", WAY_ERR_RANGE, 1},        {"60 99999999999999999999", WAY_ERR_RANGE, 4},
      {"C10", WAY_ERR_RANGE, 1},        {"Cb-1", WAY_ERR_RANGE, 1},
      {"60x", WAY_ERR_SYNTAX, 3},       {"C4 #", WAY_ERR_SYNTAX, 4},
      {"C4 D#####", WAY_ERR_SYNTAX, 9}, {"C\xFF", WAY_ERR_SYNTAX, 2},
      {"-1", WAY_ERR_SYNTAX, 1},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayNoteList list = {.set = 7};
    WayError e = {0};
    const WayStatus st = way_note_list_read(way_text(cases[i].text), &list, &e);
    if (st != cases[i].status || e.column != cases[i].column)
      fail_msg("%s: %d, column %u: %s", cases[i].text, st, e.column, e.message);
    assert_int_equal(list.set, 7);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_numbers_and_names),
      cmocka_unit_test(test_spelling_is_kept),
      cmocka_unit_test(test_errors_pin_the_place),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
