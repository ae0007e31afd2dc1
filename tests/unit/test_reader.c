#include "chart/reader.h"

#include "check.h"

#include <stdlib.h>

static WayChartReader reader_of(const char* text, WayError* error) {
  return (WayChartReader){.at = way_cursor(way_text(text)), .error = error};
}

static void test_a_failure_inside_a_piece_counts_from_the_line(void** state) {
  (void)state;
  WayError e;
  WayChartReader r = reader_of("ab\ncd efg", &e);
  while (way_cursor_peek(&r.at) != 'e') way_cursor_next(&r.at);
  const WayError inner = {WAY_ERR_SYNTAX, 2, 1, 3, "expected x"}; // at the `g`
  assert_int_equal(way_reader_fail_inside(&r, &r.at, &inner), WAY_ERR_SYNTAX);
  assert_int_equal(e.byte, 8);
  assert_int_equal(e.line, 2);
  assert_int_equal(e.column, 6);
  assert_string_equal(e.message, "expected x");
}

static void test_a_comment_ends_a_line(void** state) {
  (void)state;
  static const struct {
    const char* text;
    bool ends;
  } cases[] = {{"", true}, {" \t\r\n", true}, {"  ; x", true}, {" x", false}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChartReader r = reader_of(cases[i].text, NULL);
    way_reader_skip_blanks(&r);
    assert_int_equal(way_reader_at_line_end(&r), cases[i].ends);
  }
}

static void test_numbers_stop_growing(void** state) {
  (void)state;
  static const struct {
    const char* text;
    uint32_t number;
    size_t size; // of its digits
  } cases[] = {{"", 0, 0}, {"x", 0, 0}, {"07.", 7, 2}, {"99999999999", 1000000, 11}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayCursor c = way_cursor(way_text(cases[i].text));
    assert_int_equal(way_reader_number(&c), cases[i].number);
    assert_int_equal(c.byte, cases[i].size);
  }
}

static void test_sections_begin_as_the_chart_is(void** state) {
  (void)state;
  WayChart chart = {.n_bars = 3, .key = {{3, -1}, WAY_MODE_DORIAN}, .metre = {6, 8}};
  WayChartReader r = reader_of("", NULL);
  r.chart = &chart;
  assert_int_equal(way_reader_add_section(&r, way_text("Bridge")), WAY_OK);
  assert_int_equal(chart.n_sections, 1);
  const WayChartSection* const s = &chart.sections[0];
  assert_string_equal(s->name, "Bridge");
  assert_int_equal(s->first_bar, 3);
  assert_int_equal(s->n_bars, 0);
  assert_true(way_key_equal(s->key, chart.key));
  assert_true(way_metre_equal(s->metre, chart.metre));
  assert_false(s->key_given || s->metre_given);
  free(chart.sections);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_failure_inside_a_piece_counts_from_the_line),
      cmocka_unit_test(test_a_comment_ends_a_line),
      cmocka_unit_test(test_numbers_stop_growing),
      cmocka_unit_test(test_sections_begin_as_the_chart_is),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
