#include "draw/sheet_board.h"

#include "sheet.h"

// Each place of the set in the window has its sign, and no other place has one: seen in
// the picture, for the left diagram of each chord.
static void test_a_chords_tones_are_where_they_are_played(void** state) {
  (void)state;
  const Sheet s = sheet_of(LANTERN_ROW, plain_look());
  const WaySheet* const sheet = s.sheet;
  const uint32_t first = block_at(sheet, WAY_BLOCK_CHORD);
  for (uint32_t i = 0; i < sheet->map->n_columns; ++i) {
    const WayHarmony* const h = way_degree_map_harmony(sheet->map, i);
    const Canvas c = block_of(sheet, first + i, way_sheet_chord);
    const WayBox b = sheet->blocks[first + i].box;
    const WayBox pair = {92, 0, b.width - 92, b.height - 12};
    const WayFretLayout l =
        way_fret_layout(&sheet->board, way_sheet_cell(pair, 0, 2, 20));
    for (unsigned string = 0; string < 6; ++string)
      for (unsigned fret = sheet->board.first; fret <= sheet->board.last; ++fret) {
        const WayPc pc = way_pc(way_fretboard_pitch(&sheet->board, string, fret));
        const double x = way_fret_x(&l, fret), y = way_fret_y(&l, string), r = l.radius;
        const int green = canvas_count(&c, x - r, y - r, 2 * r, 2 * r,
                                       way_chip_colour(WAY_ROLE_CHORD));
        assert_int_equal(green > 20, way_pcs_has(way_chord_pcs(&h->chord), pc));
      }
    canvas_free(c);
  }
  sheet_free(s);
}

static void test_every_stage_has_its_line_for_days(void** state) {
  (void)state;
  for (int keyboard = 0; keyboard < 2; ++keyboard) {
    WaySheetLook look = plain_look();
    look.keyboard = keyboard;
    const Sheet s = sheet_of(LANTERN_ROW, look);
    uint32_t i = block_at(s.sheet, WAY_BLOCK_STAGES);
    for (; s.sheet->blocks[i].kind == WAY_BLOCK_STAGES; ++i) {
      const Canvas c = block_of(s.sheet, i, way_sheet_stages);
      const WayBox b = s.sheet->blocks[i].box;
      for (int cell = 0; cell < 2; ++cell) {
        int most = 0;
        for (double y = b.height - 30; y < b.height; ++y) {
          int dark = 0;
          for (double x = 40; x < 200; ++x)
            dark += canvas_at(&c, x + cell * (b.width + 26) / 2, y) != 0xFFFFFF;
          if (dark > most) most = dark;
        }
        assert_true(most > 150);
      }
      canvas_free(c);
    }
    sheet_free(s);
  }
}

static void test_positions_say_what_they_ask(void** state) {
  (void)state;
  char text[64];
  WayOut out = way_out(text, sizeof(text));
  way_sheet_position_words(&(WayPosition){.position = 5}, &out);
  assert_string_equal(text, "position 5");
  out = way_out(text, sizeof(text));
  way_sheet_position_words(&(WayPosition){.position = 2, .stretches = 1, .gaps = 3},
                           &out);
  assert_string_equal(text, "position 2, 1 stretch, 3 out of reach");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_chords_tones_are_where_they_are_played),
      cmocka_unit_test(test_every_stage_has_its_line_for_days),
      cmocka_unit_test(test_positions_say_what_they_ask),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
