#include "draw/sheet_pen.h"

#include "sheet.h"
#include "theory.h"

static void test_lines_break_at_blanks_and_lose_nothing(void** state) {
  (void)state;
  static const char text[] = "Take a few bars, slowly and evenly, and listen to each.";
  for (double width = 20; width < 400; width += 7) {
    WayText lines[40];
    const unsigned n = way_sheet_wrap(text, 8, width, WAY_COUNT(lines), lines);
    size_t letters = 0, wanted = 0;
    for (unsigned i = 0; i < n; ++i) {
      assert_true((double)lines[i].size * 0.54 * 8 <= width + 1e-9);
      assert_true(lines[i].at[0] != ' ');
      for (size_t k = 0; k < lines[i].size; ++k) letters += lines[i].at[k] != ' ';
    }
    for (const char* at = text; *at; ++at) wanted += *at != ' ';
    assert_int_equal(letters, wanted);
    // No line is nearly empty: words are no longer than 7 letters.
    if (width > 100)
      for (unsigned i = 0; i < n; ++i)
        assert_true(lines[i].size + 9 * n > lines[0].size);
  }
  WayText lines[2];
  assert_int_equal(way_sheet_wrap(text, 8, 60, 2, lines), 2);
  assert_ptr_equal(lines[1].at + lines[1].size, text + strlen(text));
}

static void test_cells_share_a_row(void** state) {
  (void)state;
  const WayBox row = {10, 20, 300, 40};
  for (unsigned n = 1; n < 5; ++n) {
    double right = row.x - 12;
    for (unsigned i = 0; i < n; ++i) {
      const WayBox cell = way_sheet_cell(row, i, n, 12);
      assert_near(cell.x, right + 12, 1e-9);
      right = way_box_right(cell);
    }
    assert_near(right, way_box_right(row), 1e-9);
  }
}

static void test_black_and_white_has_no_colours(void** state) {
  (void)state;
  const WayTheme theme = way_sheet_theme(true);
  assert_true(theme.plain);
  const WayColour all[] = {theme.ground, theme.band,   theme.ink, theme.soft,
                           theme.hair,   theme.target, theme.edge};
  for (size_t i = 0; i < WAY_COUNT(all); ++i) {
    assert_near(all[i].red, all[i].green, 1e-9);
    assert_near(all[i].red, all[i].blue, 1e-9);
  }
  assert_false(way_sheet_theme(false).plain);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_lines_break_at_blanks_and_lose_nothing),
      cmocka_unit_test(test_cells_share_a_row),
      cmocka_unit_test(test_black_and_white_has_no_colours),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
