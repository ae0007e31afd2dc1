#include "chart/degree_map.h"

#include "alloc.h"
#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"
#include "theory.h"

static WayTimeline* unrolled(const char* text) {
  WayChart* const c = chart_of(text);
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(c, &t), WAY_OK);
  way_chart_free(c);
  return t;
}

static WayDegreeMap* map_of(const WayTimeline* t, WayMaterial material) {
  WayDegreeMap* map = NULL;
  assert_int_equal(way_degree_map_new(t, material, &map), WAY_OK);
  return map;
}

static const char* row_labels(const WayDegreeMap* map, unsigned row, char* buffer) {
  WayOut out = way_out(buffer, 64);
  way_spelling_write(map->rows[row], &out);
  way_out_char(&out, ':');
  for (uint32_t i = 0; i < map->n_columns; ++i) {
    const WayMapCell cell = way_degree_map_cell(map, row, i);
    way_out_char(&out, ' ');
    way_role_degree_write(cell.what.degree, &out);
    way_out_char(&out, ".ox"[cell.what.role]);
    if (!cell.in_material) way_out_char(&out, '-');
  }
  return buffer;
}

static void test_cells_say_what_a_note_is(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("key: C\n| C | F | G7 | C |\n");
  WayDegreeMap* map = map_of(t, WAY_MATERIAL_PARENT);
  static const char* const parent[] = {"C: R. 5. 11o",  "D: 9o 13o 5.", "E: 3. 7o 13o",
                                       "F: 11o R. b7.", "G: 5. 9o R.",  "A: 13o 3. 9o",
                                       "B: 7o #11o 3."};
  assert_int_equal(map->n_rows, WAY_COUNT(parent));
  char text[64];
  for (unsigned i = 0; i < map->n_rows; ++i)
    assert_string_equal(row_labels(map, i, text), parent[i]);
  assert_string_equal(map->choice.best.scale.type->name, "major");
  way_degree_map_free(map);
  map = map_of(t, WAY_MATERIAL_TRIAD);
  assert_int_equal(map->choice.best.scale.n, 0);
  assert_string_equal(row_labels(map, 0, text), "C: R. 5. 11o-");
  assert_int_equal(way_degree_map_shared(map, 2), 0x884); // of G7, all but its F
  way_degree_map_free(map);
  way_timeline_free(t);
}

static void test_each_chord_and_each_change_once(void** state) {
  (void)state;
  WayTimeline* const t =
      unrolled("key: C\n| N.C. | C | F | C | N.C. | G7 | G7 | C | G7 | F |\n");
  WayDegreeMap* const map = map_of(t, WAY_MATERIAL_SEVENTH);
  static const struct {
    uint32_t from, to, times;
    WayPcSet stay, fresh, gone;
  } expected[] = {
      {0, 1, 1, 0x001, 0x220, 0x090}, // C to F
      {1, 0, 2, 0x001, 0x090, 0x220}, // F to C, also from the end to the top
      {0, 2, 2, 0x080, 0x824, 0x011}, // C to G7, once over N.C.
      {2, 0, 1, 0x080, 0x011, 0x824}, // G7 to C
      {2, 1, 1, 0x020, 0x201, 0x884}, // G7 to F
  };
  assert_int_equal(map->n_columns, 3);
  assert_int_equal(map->n_changes, WAY_COUNT(expected));
  for (size_t i = 0; i < WAY_COUNT(expected); ++i) {
    const WayMapChange* const c = &map->changes[i];
    assert_int_equal(c->from, expected[i].from);
    assert_int_equal(c->to, expected[i].to);
    assert_int_equal(c->times, expected[i].times);
    assert_int_equal(c->stay, expected[i].stay);
    assert_int_equal(c->fresh, expected[i].fresh);
    assert_int_equal(c->gone, expected[i].gone);
  }
  assert_int_equal(map->columns[0].next, 1);
  const WayTick bar = t->bars[1].start;
  assert_int_equal(map->columns[0].length, 3 * bar);
  assert_int_equal(map->columns[2].length, 3 * bar);
  way_degree_map_free(map);
  way_timeline_free(t);
}

static void test_a_chord_scale_changes_by_a_note(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("key: A minor\n| Am | E7 |\n");
  WayDegreeMap* const map = map_of(t, WAY_MATERIAL_CHORD_SCALE);
  assert_int_equal(map->n_rows, 8);
  assert_int_equal(map->changes[0].material_fresh, WAY_PC_BIT(8));
  assert_int_equal(map->changes[0].material_gone, WAY_PC_BIT(7));
  way_degree_map_free(map);
  way_timeline_free(t);
}

static void test_silence_and_a_single_chord_change_nothing(void** state) {
  (void)state;
  static const char* const charts[] = {"| N.C. |", "| C | % |", "| N.C. | C |"};
  for (uint32_t i = 0; i < WAY_COUNT(charts); ++i) {
    WayTimeline* const t = unrolled(charts[i]);
    WayDegreeMap* const map = map_of(t, WAY_MATERIAL_ALL);
    assert_int_equal(map->n_columns, i != 0);
    assert_int_equal(map->n_changes, 0);
    assert_int_equal(map->n_rows, i ? 12 : 0);
    way_degree_map_free(map);
    way_timeline_free(t);
  }
}

static void test_no_memory_is_reported(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("| C | F | G |");
  WayDegreeMap* map = NULL;
  for (long n = 1;; ++n) {
    alloc_fail_at(n);
    const WayStatus st = way_degree_map_new(t, WAY_MATERIAL_PARENT, &map);
    alloc_fail_at(0);
    if (!st) break;
    assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_null(map);
  }
  way_degree_map_free(map);
  way_degree_map_free(NULL);
  way_timeline_free(t);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_cells_say_what_a_note_is),
      cmocka_unit_test(test_each_chord_and_each_change_once),
      cmocka_unit_test(test_a_chord_scale_changes_by_a_note),
      cmocka_unit_test(test_silence_and_a_single_chord_change_nothing),
      cmocka_unit_test(test_no_memory_is_reported),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
