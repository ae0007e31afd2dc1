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

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_place_and_landings_are_on_the_line),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
