#include "chart/chart_walk.h"

#include "chart_text.h"
#include "check.h"

/// Bars as they are played, a letter each; a walk ends before the bar `last`.
typedef struct {
  char text[64];
  uint32_t n, last;
} Played;

static bool note_bar(void* to, uint32_t section, uint32_t bar) {
  Played* const p = to;
  (void)section;
  if (bar == p->last) return false;
  p->text[p->n++] = (char)('a' + bar);
  return true;
}

// What musicians play: common practice, no source.
static const struct {
  const char *text, *played;
} forms[] = {
    {"| C | D | E |", "abc"},
    {"|: C | D :| E |", "ababc"},
    {"|: C | 1. D :| 2. E | F |", "abacd"},
    {"|: C | 1.2. D :| 3. E |", "ababac"},
    {"form: B A B\n[A]\n| C |\n[B]\n|: D :|", "bbabb"},
};

static void test_bars_come_as_they_are_played(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(forms); ++i) {
    WayChart* const c = chart_of(forms[i].text);
    Played p = {.last = UINT32_MAX};
    assert_true(way_chart_walk(c, note_bar, &p));
    assert_string_equal(p.text, forms[i].played);
    WayChartSize size;
    assert_int_equal(way_chart_size(c, &size), WAY_OK);
    assert_int_equal(size.bars, p.n);
    way_chart_free(c);
  }
}

static void test_a_walk_ends_when_it_is_told_to(void** state) {
  (void)state;
  WayChart* const c = chart_of("form: A B A\n[A]\n| C | D |\n[B]\n| E | F |");
  Played p = {.last = 3};
  assert_false(way_chart_walk(c, note_bar, &p));
  assert_string_equal(p.text, "abc");
  way_chart_free(c);
}

static void test_places_of_the_form_are_sections(void** state) {
  (void)state;
  WayChart* c = chart_of("form: B A B\n[A]\n| C |\n[B]\n| D |");
  assert_int_equal(way_chart_form_length(c), 3);
  assert_int_equal(way_chart_form_section(c, 0), 1);
  assert_int_equal(way_chart_form_section(c, 1), 0);
  Played p = {.last = UINT32_MAX};
  assert_true(way_chart_walk_section(c, 1, note_bar, &p));
  assert_string_equal(p.text, "b");
  way_chart_free(c);
  c = chart_of("[A]\n| C |\n[B]\n| D |");
  assert_int_equal(way_chart_form_length(c), 2); // as written
  assert_int_equal(way_chart_form_section(c, 1), 1);
  way_chart_free(c);
}

static void test_chords_begin_where_their_shares_say(void** state) {
  (void)state;
  WayChart* const c = chart_of("| C / / G | % |");
  const WayMetre metre = {4, 4};
  const WayTick beat = way_metre_beat(metre);
  WayTick starts[WAY_CHART_SHARES_MAX + 1];
  for (uint32_t bar = 0; bar < 2; ++bar) { // `%` sounds as the bar before
    assert_ptr_equal(way_chart_bar_starts(c, bar, metre, starts), &c->bars[0]);
    assert_int_equal(starts[0], 0);
    assert_int_equal(starts[1], 3 * beat);
    assert_int_equal(starts[2], 4 * beat);
  }
  way_chart_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_bars_come_as_they_are_played),
      cmocka_unit_test(test_a_walk_ends_when_it_is_told_to),
      cmocka_unit_test(test_places_of_the_form_are_sections),
      cmocka_unit_test(test_chords_begin_where_their_shares_say),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
