#include "draw/ribbon.h"

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

/// A chart of sections with these numbers of bars.
static WayTimeline* form_of(const unsigned* bars, unsigned n) {
  const size_t room = 1 << 20;
  char* const text = malloc(room);
  assert_non_null(text);
  WayOut out = way_out(text, room);
  way_out_str(&out, "key: C\n");
  for (unsigned s = 0; s < n; ++s) {
    way_out_str(&out, "[");
    way_out_char(&out, (char)('A' + s % 26));
    way_out_int(&out, s);
    way_out_str(&out, "]\n");
    for (unsigned b = 0; b < bars[s]; ++b)
      way_out_str(&out, b % 2 ? "| F | \n" : "| C |\n");
  }
  WayTimeline* const t = unrolled(text);
  free(text);
  return t;
}

static void check_layout(const WayTimeline* t, uint32_t here, WayBox box) {
  const WayRibbonLayout l = way_ribbon_layout(t, here, 12, box);
  assert_true(l.per_row == 4 || l.per_row == 8);
  assert_true(l.n >= 1 && l.first + l.n <= l.total);
  assert_true(way_ribbon_bar(&l, here).width > 0);
  assert_true(l.n * l.row <= box.height + 1e-6);
  for (uint32_t r = 0; r < l.n; ++r) {
    const WayRibbonRow* const row = &l.rows[r];
    assert_true(row->n >= 1 && row->n <= l.per_row);
    assert_int_equal(row->opens, t->sections[row->section].first_bar == row->bar);
    if (r) assert_int_equal(row->bar, l.rows[r - 1].bar + l.rows[r - 1].n);
    for (uint32_t b = row->bar; b < row->bar + row->n; ++b) {
      assert_int_equal(t->bars[b].section, row->section);
      const WayBox cell = way_ribbon_bar(&l, b);
      assert_true(cell.x >= box.x - 1e-6 && cell.y >= box.y - 1e-6);
      assert_true(way_box_right(cell) <= way_box_right(box) + 1e-6);
      assert_true(way_box_bottom(cell) <= way_box_bottom(box) + 1e-6);
      const WayRibbonPoint p = way_ribbon_point(&l, t, t->bars[b].start);
      assert_true(p.shown && p.row == r);
      assert_near(p.x, cell.x, 1e-6);
    }
  }
}

static void test_rows_fit_the_form(void** state) {
  (void)state;
  static const unsigned forms[][6] = {{4}, {12}, {8, 8, 8, 8}, {8, 8, 6, 8}, {5, 3, 7},
                                      {1}, {32}, {100, 1, 64}, {16, 16}};
  static const WayBox boxes[] = {
      {0, 0, 390, 127}, {5, 5, 900, 100}, {0, 0, 160, 60}, {0, 0, 1500, 800}};
  for (size_t f = 0; f < WAY_COUNT(forms); ++f) {
    unsigned n = 0;
    while (n < 6 && forms[f][n]) ++n;
    WayTimeline* const t = form_of(forms[f], n);
    for (size_t b = 0; b < WAY_COUNT(boxes); ++b)
      for (uint32_t bar = 0; bar < t->n_bars; ++bar) check_layout(t, bar, boxes[b]);
    way_timeline_free(t);
  }
}

// Twelve bars and sixteen stand in fours, thirty-two in eights, where there is room.
static void test_fours_and_eights(void** state) {
  (void)state;
  static const struct {
    unsigned bars[4], per_row;
  } cases[] = {{{12}, 4}, {{4}, 4}, {{8, 8, 8, 8}, 8}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayTimeline* const t = form_of(cases[i].bars, cases[i].bars[1] ? 4 : 1);
    assert_int_equal(way_ribbon_layout(t, 0, 12, (WayBox){0, 0, 390, 127}).per_row,
                     cases[i].per_row);
    way_timeline_free(t);
  }
}

static void test_the_place_moves_along_the_bar(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("key: C\ntime: 3/4\n| C | F |\n");
  const WayRibbonLayout l = way_ribbon_layout(t, 0, 12, (WayBox){0, 0, 400, 60});
  const WayTick bar = way_ribbon_bar_length(t, 1);
  const WayBox box = way_ribbon_bar(&l, 1);
  for (WayTick i = 0; i < 3; ++i)
    assert_near(way_ribbon_point(&l, t, bar + i * bar / 3).x,
                box.x + box.width * (double)i / 3, 1e-6);
  way_timeline_free(t);
}

static uint32_t bars_in(const char* text, double width) {
  WayTimeline* const t = unrolled(text);
  const WayRibbonLayout l = way_ribbon_layout(t, 0, 8, (WayBox){0, 0, width, 80});
  assert_true(l.symbol >= 8); // no row is so full that letters get small
  const uint32_t n = l.rows[0].n;
  way_timeline_free(t);
  return n;
}

// The size of the window's least: two bars of two long chords stand in a row, of four
// one; the room goes to the bar that needs it.
static void test_many_chords_get_rows_of_fewer_bars(void** state) {
  (void)state;
  assert_int_equal(bars_in("key: E\n| E | A | B7 | E |\n", 225), 4);
  assert_int_equal(
      bars_in("key: E\n| C#m7b5 F#7alt | Bmaj7#11 G#13b9 | E | E |\n", 225), 2);
  assert_int_equal(bars_in("key: E\n| C#m7b5 F#7alt Bmaj7#11 G#13b9 "
                           "| C#m7b5 F#7alt Bmaj7#11 G#13b9 |\n",
                           225),
                   1);
  WayTimeline* const t = unrolled("key: E\n| C#m7b5 F#7alt Bmaj7#11 G#13b9 | E |\n");
  const WayRibbonLayout l = way_ribbon_layout(t, 0, 8, (WayBox){0, 0, 225, 30});
  const WayBox full = way_ribbon_bar(&l, 0), rest = way_ribbon_bar(&l, 1);
  assert_int_equal(l.rows[0].n, 2);
  assert_true(full.width > 2 * rest.width);
  assert_near(way_box_right(rest), 225, 1e-6);
  way_timeline_free(t);
}

// A row begins where groups of bars of its length do: after two, two, not four.
static void test_phrases_stay_in_step(void** state) {
  (void)state;
  WayTimeline* const t =
      unrolled("key: E\n| C#m7b5 F#7alt | Bmaj7#11 G#13b9 | E | E | E | E | E | E |\n");
  const WayRibbonLayout l = way_ribbon_layout(t, 0, 8, (WayBox){0, 0, 225, 80});
  assert_int_equal(l.n, 3);
  static const uint32_t bars[] = {2, 2, 4};
  for (uint32_t r = 0; r < l.n; ++r) assert_int_equal(l.rows[r].n, bars[r]);
  way_timeline_free(t);
}

// Names of sections: a short one leaves the room to the bars, a long one gets some.
static void test_long_names_get_room(void** state) {
  (void)state;
  const WayBox box = {0, 0, 400, 100};
  WayTimeline* const none = unrolled("key: C\n| C | F |\n");
  WayTimeline* const letter = unrolled("key: C\n[A]\n| C | F |\n");
  WayTimeline* const words = unrolled("key: C\n[Introduction with drums]\n| C | F |\n");
  const WayRibbonLayout a = way_ribbon_layout(none, 0, 10, box);
  const WayRibbonLayout b = way_ribbon_layout(letter, 0, 10, box);
  const WayRibbonLayout c = way_ribbon_layout(words, 0, 10, box);
  assert_true(a.gutter < b.gutter && b.gutter < c.gutter && c.gutter <= 0.2 * 400);
  assert_true(c.name >= 0.9 * 10 && b.name > c.name);
  way_timeline_free(none);
  way_timeline_free(letter);
  way_timeline_free(words);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_rows_fit_the_form),
      cmocka_unit_test(test_fours_and_eights),
      cmocka_unit_test(test_the_place_moves_along_the_bar),
      cmocka_unit_test(test_many_chords_get_rows_of_fewer_bars),
      cmocka_unit_test(test_phrases_stay_in_step),
      cmocka_unit_test(test_long_names_get_room),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
