#include "draw/trail_paint.h"

#include "canvas.h"
#include "check.h"

// Roles differ in colour and in how much of the dot is filled.
static void test_each_note_has_its_dot(void** state) {
  (void)state;
  const WayTheme* const theme = way_theme(WAY_THEME_DARK);
  WayTrailNote notes[3];
  for (unsigned i = 0; i < 3; ++i)
    notes[i] = (WayTrailNote){(WayTick)(1000 + 1000 * i),
                              (WayTick)(1100 + 1000 * i),
                              (uint8_t)(60 + 4 * i),
                              {(uint8_t)i, 0, false, {1, 0}}};
  const WayTrailLayout l =
      way_trail_layout(notes, 3, 4000, 4000, 13, (WayBox){0, 0, 400, 200});
  Canvas c = canvas_of(400, 200, theme->ground);
  way_trail_paint(c.cr, &l, theme, 13, NULL, notes, 3);
  int filled[3];
  for (unsigned i = 0; i < 3; ++i) {
    const double x = way_trail_x(&l, notes[i].start),
                 y = way_trail_y(&l, notes[i].pitch);
    filled[i] = canvas_count(&c, x - l.radius, y - l.radius, 2 * l.radius, 2 * l.radius,
                             way_chip_colour((WayRole)i));
    assert_true(filled[i] > 20);
  }
  assert_true(filled[0] > filled[1]);
  canvas_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_each_note_has_its_dot),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
