#include "draw/ribbon_paint.h"

#include "canvas.h"
#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"

static void test_place_and_landings_are_on_the_line(void** state) {
  (void)state;
  WayChart* const chart = chart_of("key: C\n| C | F | G7 | C |\n| Am | F | G | C |\n");
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(chart, &t), WAY_OK);
  const WayTheme* const theme = way_theme(WAY_THEME_LIGHT);
  const WayRibbonLayout l = way_ribbon_layout(t, 0, 20, (WayBox){0, 0, 600, 200});
  const WayLandingToken landing = {2, true, {WAY_ROLE_CHORD, 4, false, {3, 0}}};
  Canvas c = canvas_of(600, 200, theme->ground);
  way_ribbon_paint(c.cr, &l, theme, t, t->bars[5].start, true, &landing, 1);
  for (uint32_t bar = 0; bar < t->n_bars; ++bar) {
    const WayBox b = way_ribbon_bar(&l, bar);
    assert_int_equal(canvas_at(&c, way_box_right(b) - 3, b.y + 3) ==
                         colour_of(theme->band),
                     bar == 5);
    const double r = l.token;
    const WayRibbonPoint p = way_ribbon_point(&l, t, t->bars[bar].start);
    if (p.x < r) continue;
    assert_int_equal(canvas_count(&c, p.x - r, p.y - r, 2 * r, 2 * r,
                                  way_chip_colour(WAY_ROLE_CHORD)) > 50,
                     bar == 2);
  }
  canvas_free(c);
  way_timeline_free(t);
  way_chart_free(chart);
}

/// Points of ink in a box.
static int ink_in(const Canvas* c, const WayTheme* theme, WayBox b) {
  return canvas_count(c, b.x, b.y, b.width, b.height, theme->ink);
}

static void test_the_way_through_a_bar_is_heavy(void** state) {
  (void)state;
  WayChart* const chart = chart_of("key: C\n| C | N.C. | G7 | C |\n");
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(chart, &t), WAY_OK);
  const WayTheme* const theme = way_theme(WAY_THEME_LIGHT);
  const WayRibbonLayout l = way_ribbon_layout(t, 0, 20, (WayBox){0, 0, 600, 100});
  const WayBox bar = way_ribbon_bar(&l, 2);
  const double y = way_ribbon_point(&l, t, t->bars[2].start).y;
  const WayBox done = {bar.x + 2, y - 2, bar.width / 2 - l.token, 4};
  const WayBox left = {bar.x + bar.width / 2 + l.token, y - 2,
                       bar.width / 2 - 2 * l.token, 4};
  const WayTick half = way_metre_bar(t->bars[2].metre) / 2;
  Canvas c = canvas_of(600, 100, theme->ground);
  way_ribbon_paint(c.cr, &l, theme, t, t->bars[2].start + half, true, NULL, 0);
  assert_true(ink_in(&c, theme, done) > 2 * done.width);
  assert_int_equal(ink_in(&c, theme, left), 0);
  // Silence has its symbol above the line, and no numeral under it.
  const WayBox rest = way_ribbon_bar(&l, 1);
  int below = 0;
  for (double up = y + l.token; up < way_box_bottom(rest); ++up)
    for (double x = rest.x + 4; x < way_box_right(rest) - 4; ++x)
      below += canvas_at(&c, x, up) != colour_of(theme->ground);
  assert_int_equal(below, 0);
  canvas_free(c);
  way_timeline_free(t);
  way_chart_free(chart);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_place_and_landings_are_on_the_line),
      cmocka_unit_test(test_the_way_through_a_bar_is_heavy),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
