#include "draw/sheet_bars.h"

#include "draw/theme.h"
#include "sheet.h"

/// Dark points along a vertical line through a row.
static int column_ink(const Canvas* c, double x) {
  return canvas_count(c, x, 0, 2, 48, way_theme(WAY_THEME_PRINT)->ink);
}

// A row has a stroke at each bar's edge, and repeats have heavier ones.
static void test_bars_have_their_strokes(void** state) {
  (void)state;
  const Sheet s = sheet_of("key: C\n|: C | F | G | C :|\n", plain_look());
  const uint32_t index = block_at(s.sheet, WAY_BLOCK_BARS);
  const Canvas c = block_of(s.sheet, index, way_sheet_bars);
  const double width = s.sheet->blocks[index].box.width, left = 0;
  const double bar = width / 4;
  for (int i = 1; i < 4; ++i) assert_true(has_ink(&c, left + i * bar - 1, 20, 2, 12));
  assert_true(column_ink(&c, left) > 30);
  assert_true(column_ink(&c, left + 4 * bar - 2) > 30);
  canvas_free(c);
  sheet_free(s);
}

// Each chord of a bar has a symbol above the line and a numeral below, at its beat.
static void test_chords_stand_at_their_beats(void** state) {
  (void)state;
  const Sheet s = sheet_of("key: C\n| C / / G7 | N.C. | F | % |\n", plain_look());
  const uint32_t index = block_at(s.sheet, WAY_BLOCK_BARS);
  const Canvas c = block_of(s.sheet, index, way_sheet_bars);
  const double left = 0, bar = s.sheet->blocks[index].box.width / 4;
  static const struct {
    double at;
    bool symbol, numeral;
  } beats[] = {{0, true, true},  {0.3, false, false}, {0.75, true, true},
               {1, true, false}, {2, true, true},     {3, false, false}};
  for (size_t i = 0; i < WAY_COUNT(beats); ++i) {
    const double x = left + beats[i].at * bar + 4;
    assert_int_equal(has_ink(&c, x, 2, 18, 16), beats[i].symbol);
    assert_int_equal(has_ink(&c, x, 32, 18, 12), beats[i].numeral);
  }
  assert_true(has_ink(&c, left + 3.5 * bar - 6, 18, 12, 7)); // the bar before
  canvas_free(c);
  sheet_free(s);
}

// Symbols and targets that are longer than their beats push each other on.
static void test_symbols_stand_apart(void** state) {
  (void)state;
  static const struct {
    const char* text;
    int chords;
  } rows[] = {
      {"key: Db\ntime: 5/4\n| Ebm9>9 Ab7b9>b9 / / / |\n", 2},
      {"key: Db\n| Bbm7 Eb13#11 Ab7#9b13 Dbmaj9 | Ebm7 Ab7 |\n", 6},
      {"key: Db\n|: Dbmaj7#11>3 Ebm7b5/Gb>b7 / / :|\n", 2},
  };
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    const Sheet s = sheet_of(rows[i].text, plain_look());
    const uint32_t index = block_at(s.sheet, WAY_BLOCK_BARS);
    const Canvas c = block_of(s.sheet, index, way_sheet_bars);
    const WayBox above = {4, 0, s.sheet->blocks[index].box.width - 8, 14};
    if (things_apart(&c, above, 5) != rows[i].chords)
      fail_msg("%s: %d", rows[i].text, things_apart(&c, above, 5));
    canvas_free(c);
    sheet_free(s);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_bars_have_their_strokes),
      cmocka_unit_test(test_chords_stand_at_their_beats),
      cmocka_unit_test(test_symbols_stand_apart),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
