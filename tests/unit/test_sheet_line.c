#include "draw/sheet_line.h"

#include "sheet.h"

// Chords above each change, degrees below, notes between; a tie where the chord goes
// on.
static void test_chord_note_and_degree_stand_together(void** state) {
  (void)state;
  const Sheet s = sheet_of("key: C\n| Cmaj7 | F7 | % | N.C. |\n", plain_look());
  const uint32_t index = block_at(s.sheet, WAY_BLOCK_LINE);
  const Canvas c = block_of(s.sheet, index, way_sheet_line);
  const double width = s.sheet->blocks[index].box.width;
  assert_int_equal(s.sheet->blocks[index].n, 4);
  // Bars share what the front leaves.
  double first = 0;
  for (double x = 20; x < width && !(first > 0); ++x)
    if (has_ink(&c, x, 0, 2, 14)) first = x;
  assert_true(first > 20);
  const double front = first - 11, bar = (width - front) / 4;
  for (int i = 0; i < 4; ++i) {
    const double x = front + i * bar;
    assert_int_equal(has_ink(&c, x, 0, 20, 14), i != 2); // chord
    assert_int_equal(has_ink(&c, x, 61, 20, 12), i < 2); // degree
  }
  canvas_free(c);
  sheet_free(s);
}

static void test_symbols_stand_apart(void** state) {
  (void)state;
  const Sheet s = sheet_of(LANTERN_ROW, plain_look());
  const uint32_t index = block_at(s.sheet, WAY_BLOCK_LINE);
  const Canvas c = block_of(s.sheet, index, way_sheet_line);
  assert_int_equal(s.sheet->blocks[index].n, 8);
  const WayBox above = {40, 0, s.sheet->blocks[index].box.width - 40, 14};
  assert_int_equal(things_apart(&c, above, 3), 9);
  canvas_free(c);
  sheet_free(s);
}

static void test_lengths_without_tuplets_of_their_own_are_still_shown(void** state) {
  (void)state;
  const Sheet s = sheet_of("key: C\n| C F G |\n| C F G Am Dm |\n", plain_look());
  const Canvas c = page_of(s.sheet, 0);
  assert_true(has_ink(&c, 100, 200, 300, 60));
  canvas_free(c);
  sheet_free(s);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_chord_note_and_degree_stand_together),
      cmocka_unit_test(test_symbols_stand_apart),
      cmocka_unit_test(test_lengths_without_tuplets_of_their_own_are_still_shown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
