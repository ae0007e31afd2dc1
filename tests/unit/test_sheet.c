#include "draw/sheet.h"

#include "alloc.h"
#include "sheet.h"

/// Everything stands on its page, below what comes before it.
static void check_flow(const WaySheet* s) {
  double y = 0;
  uint32_t page = 0;
  for (uint32_t i = 0; i < s->n_blocks; ++i) {
    const WayBlock* const b = &s->blocks[i];
    if (b->page > page) {
      assert_int_equal(b->page, page + 1);
      page = b->page;
      y = 0;
    }
    assert_true(b->box.y >= s->body.y && b->box.y >= y);
    assert_true(way_box_bottom(b->box) <= way_box_bottom(s->body) + 1e-6);
    assert_true(b->box.x >= s->body.x);
    assert_true(way_box_right(b->box) <= way_box_right(s->body) + 1e-6);
    y = way_box_bottom(b->box);
    if (b->kind != WAY_BLOCK_HEAD) continue;
    assert_true(i + 1 < s->n_blocks); // a head never stands alone
    assert_int_equal(b[1].page, b->page);
    assert_int_equal(b[1].part, b->part);
  }
  assert_int_equal(s->n_pages, page + 1);
}

/// How many items of a kind there are, each once and in order.
static uint32_t items(const WaySheet* s, WayBlockKind kind) {
  uint32_t next = 0;
  for (uint32_t i = 0; i < s->n_blocks; ++i)
    if (s->blocks[i].kind == kind) {
      assert_int_equal(s->blocks[i].first, next);
      next += s->blocks[i].n;
    }
  return next;
}

static void check_complete(const Sheet* s) {
  assert_int_equal(items(s->sheet, WAY_BLOCK_BARS), s->chart->n_bars);
  assert_int_equal(items(s->sheet, WAY_BLOCK_LINE), s->form->n_bars);
  assert_int_equal(items(s->sheet, WAY_BLOCK_STAGES), 8);
  assert_int_equal(items(s->sheet, WAY_BLOCK_CHORD), s->sheet->map->n_columns);
  assert_int_equal(items(s->sheet, WAY_BLOCK_MAP), s->sheet->map->n_columns);
  assert_int_equal(items(s->sheet, WAY_BLOCK_CHANGES), s->sheet->map->n_changes);
  assert_int_equal(items(s->sheet, WAY_BLOCK_POSITIONS), s->sheet->n_positions);
}

static void test_everything_has_its_place_once(void** state) {
  (void)state;
  for (unsigned i = 0; i < 64; ++i) {
    WaySheetLook look = plain_look();
    look.paper = (WayPaper)(i & 1);
    look.large = i & 2;
    look.keyboard = i & 4;
    look.all_positions = i & 8;
    look.frets.tuning = way_tuning(i % way_tuning_count());
    look.frets.capo = i & 16 ? 3 : 0;
    const Sheet s =
        sheet_of(i & 32 ? LANTERN_ROW : "| Dm7 | G7 | Cmaj7 | N.C. |", look);
    check_flow(s.sheet);
    check_complete(&s);
    sheet_free(s);
  }
}

static void test_long_charts_flow_over_pages(void** state) {
  (void)state;
  char text[40000];
  WayOut out = way_out(text, sizeof(text));
  for (int i = 0; i < 300; ++i)
    way_out_str(&out, i % 4 == 3 ? "| Dm7 / G7 C6 |\n" : "| F#m7b5 | B7 | Em | A7 ");
  const Sheet s = sheet_of(text, plain_look());
  check_flow(s.sheet);
  check_complete(&s);
  assert_true(s.sheet->n_pages > 20);
  sheet_free(s);
}

static void test_bars_of_long_symbols_have_more_room(void** state) {
  (void)state;
  const Sheet s = sheet_of("| C | F | Bbm7b5 Eb13#11 Ab7#9b13 Dbmaj9 | C |\n"
                           "| Bbm7b5 Eb13#11 Ab7#9b13 Dbmaj9 | % |\n"
                           "| Bbm7b5 Eb13#11 Ab7#9b13 Dbmaj9 |\n"
                           "| Bbm7b5 Eb13#11 Ab7#9b13 Dbmaj9 |\n"
                           "| Bbm7b5 Eb13#11 Ab7#9b13 Dbmaj9 |\n",
                           plain_look());
  const uint32_t first = block_at(s.sheet, WAY_BLOCK_BARS);
  assert_int_equal(s.sheet->blocks[first].n, 4);
  // A third long one does not fit, and phrases stay in step.
  assert_int_equal(s.sheet->blocks[first + 1].n, 2);
  assert_int_equal(s.sheet->blocks[first + 2].n, 2);
  assert_int_equal(s.sheet->blocks[first + 3].n, 1);
  check_flow(s.sheet);
  check_complete(&s);
  sheet_free(s);
}

/// The page on which the last row of a chart of so many bars stands.
static uint32_t last_page(unsigned bars, const char* end) {
  char text[4000];
  WayOut out = way_out(text, sizeof(text));
  for (unsigned i = 0; i < bars; ++i)
    way_out_str(&out, i % 4 == 3 ? "| G7 |\n" : "| C ");
  way_out_str(&out, end);
  const Sheet s = sheet_of(text, plain_look());
  check_flow(s.sheet);
  uint32_t page = 0;
  for (uint32_t i = 0; i < s.sheet->n_blocks; ++i)
    if (s.sheet->blocks[i].kind == WAY_BLOCK_BARS) page = s.sheet->blocks[i].page;
  sheet_free(s);
  return page;
}

// 64 bars, the longest form in common use, stand on a page; brackets need more room.
static void test_a_long_form_stands_on_one_page(void** state) {
  (void)state;
  assert_int_equal(last_page(52, ""), 0);
  assert_int_equal(last_page(64, ""), 0);
  assert_int_equal(last_page(68, ""), 1);
  assert_int_equal(last_page(52, "|: C | F | 1. C :| 2. G |\n"), 0);
  assert_int_equal(last_page(60, "|: C | F | 1. C :| 2. G |\n"), 1);
}

static double height_of_first(const Sheet* s, WayBlockKind kind) {
  return s->sheet->blocks[block_at(s->sheet, kind)].box.height;
}

// Stages have their page alone.  Few chords share theirs.
static void test_diagrams_fill_their_page(void** state) {
  (void)state;
  for (unsigned i = 0; i < way_tuning_count(); ++i) {
    WaySheetLook look = plain_look();
    look.frets.tuning = way_tuning(i);
    look.all_positions = true;
    const Sheet few = sheet_of("| C | F | G7 | C |\n", look);
    const Sheet many = sheet_of("| C | D | E | F | G | A | B | Bb | C7 | D7 |\n", look);
    const double strings = look.frets.tuning.n + 0.86;
    const double height = height_of_first(&few, WAY_BLOCK_STAGES);
    const double page = few.sheet->body.height - 40;
    const double most = 76 + 16.6 * strings;
    if (strings < 7) assert_near(height, page / 4 < most ? page / 4 : most, 1e-6);
    assert_true(height > 76 + 12.6 * strings);
    assert_true(height_of_first(&few, WAY_BLOCK_POSITIONS) > 30 + 10.5 * strings);
    check_flow(few.sheet);
    check_flow(many.sheet);
    assert_near(height_of_first(&few, WAY_BLOCK_CHORD), 4.5 + 12.2 * strings, 1e-9);
    assert_true(height_of_first(&many, WAY_BLOCK_CHORD) >= 4.5 + 12.2 * strings);
    sheet_free(few);
    sheet_free(many);
  }
}

static void test_a_form_too_long_for_any_reader_is_refused(void** state) {
  (void)state;
  char text[64000];
  WayOut out = way_out(text, sizeof(text));
  way_out_str(&out, "form:");
  for (int i = 0; i < 9999; ++i) way_out_str(&out, " A");
  way_out_str(&out, "\n[A]\n| C | F | G | C |\n| C | F | G | C |\n");
  WayChart* const chart = chart_of(text);
  WayTimeline* form = NULL;
  WaySheet* sheet = NULL;
  const WaySheetLook look = plain_look();
  assert_int_equal(way_chart_unroll(chart, &form), WAY_OK);
  assert_int_equal(way_sheet_new(chart, form, &look, &sheet), WAY_ERR_FULL);
  assert_null(sheet);
  way_timeline_free(form);
  way_chart_free(chart);
}

static void test_a_window_a_position_or_the_best(void** state) {
  (void)state;
  WaySheetLook look = plain_look();
  const WayPcSet a_minor_pentatonic = 1u << 9 | 1u << 0 | 1u << 2 | 1u << 4 | 1u << 7;
  // Common practice, no source: the first box of A minor pentatonic is frets 5 to 8.
  WayFretboard b = way_sheet_board(&look, a_minor_pentatonic, 9);
  assert_int_equal(b.first, 5);
  assert_int_equal(b.last, 8);
  look.position = 3;
  b = way_sheet_board(&look, a_minor_pentatonic, 9);
  assert_true(b.first <= 3 && b.last >= 6 && b.last - b.first < 6);
  look.window = true;
  look.frets.first = 7;
  look.frets.last = 15;
  b = way_sheet_board(&look, a_minor_pentatonic, 9);
  assert_int_equal(b.first, 7);
  assert_int_equal(b.last, 15);
}

// The positions are those without gaps, where there are any.
static void test_positions_up_the_neck(void** state) {
  (void)state;
  const WaySheetLook look = plain_look();
  WayPosition all[WAY_POSITIONS];
  const unsigned n = way_sheet_positions(&look, 0xAB5, all); // C major
  assert_true(n >= 5);
  unsigned without = 0;
  for (unsigned at = 1; at <= WAY_POSITIONS; ++at)
    without += !way_position_at(&look.frets.tuning, 0, 0xAB5, at).gaps;
  assert_int_equal(n, without);
  for (unsigned i = 0; i < n; ++i) {
    assert_int_equal(all[i].gaps, 0);
    if (i) assert_true(all[i].position > all[i - 1].position);
  }
}

static void test_low_instruments_read_the_bass_clef(void** state) {
  (void)state;
  WaySheetLook look = plain_look();
  WayClef clefs[2];
  for (int bass = 0; bass < 2; ++bass) {
    if (bass)
      assert_int_equal(way_tuning_read(way_text("bass"), &look.frets.tuning, NULL), 0);
    const Sheet s = sheet_of(LANTERN_ROW, look);
    clefs[bass] = s.sheet->clef;
    for (uint32_t i = 0; i < s.form->n_spans; ++i)
      assert_in_range(s.sheet->line[i].pitch, bass ? 38 : 55, bass ? 62 : 79);
    sheet_free(s);
  }
  assert_int_equal(clefs[0], WAY_CLEF_TREBLE);
  assert_int_equal(clefs[1], WAY_CLEF_BASS);
}

static void test_stages_show_their_material(void** state) {
  (void)state;
  const Sheet s = sheet_of(LANTERN_ROW, plain_look());
  uint32_t column;
  WayShown shown = way_sheet_stage_shown(s.sheet, 0, &column);
  assert_int_equal(column, UINT32_MAX);
  assert_int_equal(shown.set, 1u << 2 | 1u << 4 | 1u << 6 | 1u << 9 | 1u << 11);
  shown = way_sheet_stage_shown(s.sheet, 2, &column); // D F# A over the first chord
  assert_int_equal(column, 0);
  assert_int_equal(shown.set, 1u << 2 | 1u << 6 | 1u << 9);
  shown = way_sheet_stage_shown(s.sheet, 7, &column);
  assert_int_equal(shown.set, WAY_PCS_ALL);
  sheet_free(s);
}

static void test_lack_of_memory_is_told(void** state) {
  (void)state;
  WayChart* const chart = chart_of(LANTERN_ROW);
  WayTimeline* form = NULL;
  const WaySheetLook look = plain_look();
  assert_int_equal(way_chart_unroll(chart, &form), WAY_OK);
  for (long n = 1;; ++n) {
    WaySheet* sheet = NULL;
    alloc_fail_at(n);
    const WayStatus st = way_sheet_new(chart, form, &look, &sheet);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    assert_int_equal(sheet == NULL, failed);
    way_sheet_free(sheet);
    if (!failed) break;
  }
  way_timeline_free(form);
  way_chart_free(chart);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_everything_has_its_place_once),
      cmocka_unit_test(test_long_charts_flow_over_pages),
      cmocka_unit_test(test_bars_of_long_symbols_have_more_room),
      cmocka_unit_test(test_a_long_form_stands_on_one_page),
      cmocka_unit_test(test_diagrams_fill_their_page),
      cmocka_unit_test(test_a_form_too_long_for_any_reader_is_refused),
      cmocka_unit_test(test_a_window_a_position_or_the_best),
      cmocka_unit_test(test_positions_up_the_neck),
      cmocka_unit_test(test_low_instruments_read_the_bass_clef),
      cmocka_unit_test(test_stages_show_their_material),
      cmocka_unit_test(test_lack_of_memory_is_told),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
