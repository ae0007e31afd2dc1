#include "draw/panel.h"

#include "check.h"

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
    const WayPanelWay w = way_panel_way(&next, 4 - i / 16.0, 4);
    assert_int_equal(w.knots, 4);
    assert_near(w.at, w.from + (w.to - w.from) * i / 64, 0.51);
    assert_true(w.at >= before);
    before = w.at;
  }
  assert_near(way_panel_way(&next, 0, 4).at, way_panel_way(&next, 0, 4).to, 0.51);
  assert_true(way_panel_way(&next, 40, 64).knots <= 16);
  assert_int_equal(way_panel_way(&next, 0, 0).knots, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_now_is_the_larger_and_both_share_their_lines),
      cmocka_unit_test(test_the_way_shrinks_evenly),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
