#include "draw/panel.h"

#include "base/attributes.h"
#include "check.h"

#include <math.h>

static const WayPanelPulse alone = {0, 0};

static void test_now_is_the_larger_and_both_share_their_lines(void** state) {
  (void)state;
  const WayChordPanel now = way_panel_now((WayBox){0, 10, 200, 120});
  const WayChordPanel next = way_panel_next((WayBox){220, 10, 230, 120});
  assert_true(now.symbol > 1.4 * next.symbol);
  assert_near(now.symbol_y, next.symbol_y, 1e-9);
  assert_near(now.tone_y, next.tone_y, 1e-9);
  assert_true(now.symbol_y < now.tone_y && now.tone_y < now.degree_y);
  assert_true(now.degree_y + now.degree / 2 <= 130);
  for (unsigned n = 1; n <= 12; ++n) {
    double width;
    const double x = way_panel_tone_x(&now, n - 1, n, &width);
    assert_true(x - now.degree >= -1e-9 && x + width / 2 <= 200 + 1e-9);
  }
}

// What is left of the way shrinks evenly to nothing; knots keep their places.
static void test_the_way_shrinks_evenly(void** state) {
  (void)state;
  const WayChordPanel next = way_panel_next((WayBox){0, 0, 400, 120});
  double before = -1;
  for (int i = 0; i <= 64; ++i) {
    const WayPanelWay w = way_panel_way(&next, 4 - i / 16.0, 4, alone);
    assert_int_equal(w.knots, 4);
    assert_near(w.at, w.from + (w.to - w.from) * i / 64, 0.51);
    assert_true(w.at >= before);
    before = w.at;
  }
  assert_near(way_panel_way(&next, 0, 4, alone).at,
              way_panel_way(&next, 0, 4, alone).to, 0.51);
  assert_true(way_panel_way(&next, 40, 64, alone).knots <= 16);
  assert_int_equal(way_panel_way(&next, 0, 0, alone).knots, 0);
}

/// The beats before the change at which heavy knots stand, and how many are light.
static unsigned heavy_beats(double lasts, WayPanelPulse pulse, unsigned* heavy,
                            unsigned* light) {
  const WayChordPanel next = way_panel_next((WayBox){0, 0, 400, 120});
  const WayPanelWay w = way_panel_way(&next, lasts, lasts, pulse);
  unsigned n = 0;
  *light = 0;
  for (unsigned i = 1; i <= w.knots; ++i) {
    bool is_heavy;
    const double beats = (w.to - way_panel_knot(&w, i, &is_heavy)) / w.beat;
    assert_true(beats <= lasts + 1e-6);
    assert_near(beats, floor(beats + 0.5), 1e-6);
    if (is_heavy)
      heavy[n++] = (unsigned)(beats + 0.5);
    else
      ++*light;
  }
  return n;
}

// Common practice, no source: 12/8 is heard as four groups of three, 6/8 as two.
static void test_beats_go_in_groups_that_begin_with_the_bar(void** state) {
  (void)state;
  static const struct {
    double lasts;
    WayPanelPulse pulse;
    unsigned n, heavy[16], light;
  } cases[] = {
      {12, {3, 0}, 4, {3, 6, 9, 12}, 8}, // a bar of 12/8
      {6, {3, 0}, 2, {3, 6}, 4},         // a bar of 6/8
      {7, {3, 1}, 3, {1, 4, 7}, 4},      // from a group to a beat after another
      {4, {1, 0}, 4, {1, 2, 3, 4}, 0},   // 4/4: each beat alone
      {24, {3, 0}, 8, {3, 6, 9, 12, 15, 18, 21, 24}, 0}, // two bars of 12/8
      {20, {3, 2}, 7, {2, 5, 8, 11, 14, 17, 20}, 0},
      {60, {3, 0}, 10, {6, 12, 18, 24, 30, 36, 42, 48, 54, 60}, 0},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    unsigned heavy[64], light;
    assert_int_equal(heavy_beats(cases[i].lasts, cases[i].pulse, heavy, &light),
                     cases[i].n);
    assert_memory_equal(heavy, cases[i].heavy, cases[i].n * sizeof(*heavy));
    assert_int_equal(light, cases[i].light);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_now_is_the_larger_and_both_share_their_lines),
      cmocka_unit_test(test_the_way_shrinks_evenly),
      cmocka_unit_test(test_beats_go_in_groups_that_begin_with_the_bar),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
