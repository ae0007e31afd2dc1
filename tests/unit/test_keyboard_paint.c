#include "draw/keyboard_paint.h"

#include "canvas.h"
#include "theory.h"

static void test_each_key_has_its_sign(void** state) {
  (void)state;
  const WayTheme* const theme = way_theme(WAY_THEME_LIGHT);
  const WayChord chord = a_chord("C", "1 b3 5", NULL);
  const WayHarmony h = way_harmony(&chord, a_key("C minor"), NULL);
  const WayShown s = way_shown_material(&h, WAY_MATERIAL_CHORD_SCALE);
  const WayKeyLayout l =
      way_key_layout(way_keyboard_default(), (WayBox){0, 0, 900, 200});
  const WaySounding note = {62, 0};
  Canvas c = canvas_of(900, 200, theme->ground);
  way_keyboard_paint(c.cr, &l, theme, &s, &note, 1);
  for (int pitch = l.board.low; pitch <= l.board.high; ++pitch) {
    double x, y;
    way_key_sign(&l, pitch, &x, &y);
    const double r = l.radius;
    const int green =
        canvas_count(&c, x - r, y - r, 2 * r, 2 * r, way_chip_colour(WAY_ROLE_CHORD));
    const bool chord_tone = way_pcs_has(s.set, way_pc(pitch)) &&
                            s.roles[way_pc(pitch)].role == WAY_ROLE_CHORD;
    assert_int_equal(green > 150, chord_tone);
    // The front edge of the key that sounds is dark.
    const WayBox key = way_key_box(&l, pitch);
    if (!way_keyboard_raised(pitch))
      assert_int_equal(canvas_at(&c, key.x + key.width / 2, 196) ==
                           colour_of(theme->ink),
                       pitch == 62);
  }
  canvas_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_each_key_has_its_sign),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
