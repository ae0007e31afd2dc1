#include "draw/map_picture.h"

#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"

#include <stdlib.h>

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

// Thirty chords, none twice.
static const char* long_chart(char* buffer, size_t room) {
  static const char* const kinds[] = {"", "m", "7", "maj7", "m7"};
  WayOut out = way_out(buffer, room);
  for (int i = 0; i < 30; ++i) {
    way_out_str(&out, "| ");
    way_out_char(&out, "CDEFGAB"[i % 7]);
    way_out_str(&out, kinds[i / 7]);
    way_out_char(&out, ' ');
  }
  way_out_str(&out, "|\n");
  return buffer;
}

// Cells keep their distance, stand within the picture and above the list of changes.
static void test_layout_has_room_for_all(void** state) {
  (void)state;
  char text[1024];
  WayTimeline* const t = unrolled(long_chart(text, sizeof(text)));
  WayDegreeMap* const map = map_of(t, WAY_MATERIAL_ALL);
  const WayMapLayout l = way_map_layout(map);
  assert_int_equal(map->n_columns, 30);
  assert_int_equal(l.n_blocks, 3);
  for (uint32_t c = 0; c < map->n_columns; ++c)
    for (unsigned r = 0; r < map->n_rows; ++r) {
      const double x = way_map_x(&l, c);
      const double y = way_map_y(&l, r, c);
      assert_true(x > 80 && x < l.width - 40);
      assert_true(y > 140 && y < l.changes_top - 20);
      if (r) assert_true(y >= way_map_y(&l, r - 1, c) + 32);
      if (c % l.per_block) assert_true(x >= way_map_x(&l, c - 1) + 32);
      if (c >= l.per_block)
        assert_true(way_map_y(&l, 0, c) >
                    way_map_y(&l, map->n_rows - 1u, c - l.per_block) + 32);
    }
  assert_true(l.height > l.changes_top + 20 * map->n_changes);
  way_degree_map_free(map);
  way_timeline_free(t);
}

static unsigned count(const char* text, const char* word) {
  unsigned n = 0;
  while ((text = strstr(text, word))) {
    ++n;
    ++text;
  }
  return n;
}

// Green is used for chord tones and for the bars between them, blue for scale tones,
// vermilion for the rest; the legend has one of each.
static void test_each_cell_has_its_chip(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("key: C\n| C | Am | F | G7 |\n");
  WayDegreeMap* const map = map_of(t, WAY_MATERIAL_ALL);
  unsigned cells[WAY_ROLE_COUNT] = {1, 1, 1};
  for (uint32_t c = 0; c < map->n_columns; ++c)
    for (unsigned r = 0; r < map->n_rows; ++r)
      ++cells[way_degree_map_cell(map, r, c).what.role];
  const unsigned bars = 2 + 2 + 1; // C E to Am, A C to F, F to G7
  char* svg = NULL;
  size_t size = 0;
  assert_int_equal(way_map_picture_svg(map, "Rope Walk", &svg, &size), WAY_OK);
  char* const text = calloc(1, size + 1);
  assert_non_null(text);
  memcpy(text, svg, size);
  assert_int_equal(count(text, "61.960784%"), cells[WAY_ROLE_CHORD] + bars);
  assert_int_equal(count(text, "70.588235%"), cells[WAY_ROLE_SCALE]);
  assert_int_equal(count(text, "36.862745%"), cells[WAY_ROLE_CHROMATIC]);
  assert_non_null(strstr(text, "</svg>"));
  free(text);
  free(svg);
  way_degree_map_free(map);
  way_timeline_free(t);
}

static void test_an_empty_map_is_a_picture_too(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("| N.C. |\n");
  WayDegreeMap* const map = map_of(t, WAY_MATERIAL_TRIAD);
  char* svg = NULL;
  size_t size = 0;
  assert_int_equal(way_map_picture_svg(map, "", &svg, &size), WAY_OK);
  assert_true(size > 100);
  free(svg);
  way_degree_map_free(map);
  way_timeline_free(t);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_layout_has_room_for_all),
      cmocka_unit_test(test_each_cell_has_its_chip),
      cmocka_unit_test(test_an_empty_map_is_a_picture_too),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
