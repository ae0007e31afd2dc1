#include "draw/sheet_pen.h"

#include "sheet.h"
#include "theory.h"

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
      cmocka_unit_test(test_cells_share_a_row),
      cmocka_unit_test(test_black_and_white_has_no_colours),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
