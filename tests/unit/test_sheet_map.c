#include "draw/sheet_map.h"

#include "sheet.h"

// A chip for every cell, green where it is a chord tone.
static void test_cells_have_their_roles(void** state) {
  (void)state;
  const Sheet s = sheet_of(LANTERN_ROW, plain_look());
  const WayDegreeMap* const map = s.sheet->map;
  const uint32_t index = block_at(s.sheet, WAY_BLOCK_MAP);
  const Canvas c = block_of(s.sheet, index, way_sheet_map);
  assert_int_equal(s.sheet->blocks[index].n, map->n_columns);
  for (unsigned row = 0; row < map->n_rows; ++row)
    for (uint32_t column = 0; column < map->n_columns; ++column) {
      const double x = WAY_SHEET_NOTES + (column + 0.5) * WAY_SHEET_COLUMN;
      const double y = WAY_SHEET_NAMES + (row + 0.5) * WAY_SHEET_ROW;
      const WayMapCell cell = way_degree_map_cell(map, row, column);
      for (int role = WAY_ROLE_CHORD; role <= WAY_ROLE_SCALE; ++role)
        assert_int_equal(
            canvas_count(&c, x - 8, y - 8, 17, 17, way_chip_colour((WayRole)role)) > 15,
            cell.in_material && cell.what.role == role);
    }
  canvas_free(c);
  sheet_free(s);
}

static void test_changes_have_a_row_each(void** state) {
  (void)state;
  const Sheet s = sheet_of(LANTERN_ROW, plain_look());
  const uint32_t first = block_at(s.sheet, WAY_BLOCK_CHANGES);
  for (uint32_t i = 0; i < s.sheet->map->n_changes; ++i) {
    const Canvas c = block_of(s.sheet, first + i, way_sheet_changes);
    assert_true(has_ink(&c, 0, 3, 60, 11));
    canvas_free(c);
  }
  sheet_free(s);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_cells_have_their_roles),
      cmocka_unit_test(test_changes_have_a_row_each),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
