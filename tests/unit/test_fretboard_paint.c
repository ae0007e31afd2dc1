#include "draw/fretboard_paint.h"

#include "canvas.h"
#include "theory.h"

#define WIDTH 1200
#define HEIGHT 320

static WayShown shown_of(const char* root, const char* degrees, const char* key) {
  const WayChord chord = a_chord(root, degrees, NULL);
  const WayHarmony h = way_harmony(&chord, a_key(key), NULL);
  return way_shown_material(&h, WAY_MATERIAL_CHORD_SCALE);
}

// At each place: a disc for chord tones, a ring for scale tones, nothing elsewhere.
static void test_each_place_has_its_sign(void** state) {
  (void)state;
  const WayFretboard b = way_fretboard_default();
  const WayFretLayout l =
      way_fret_layout(&b, (WayBox){10, 10, WIDTH - 20, HEIGHT - 20});
  for (WayThemeName n = WAY_THEME_LIGHT; n < WAY_THEME_COUNT; ++n) {
    const WayTheme* const theme = way_theme(n);
    const WayShown s = shown_of("E", "1 3 5 b7", "A minor");
    Canvas c = canvas_of(WIDTH, HEIGHT, theme->ground);
    way_fretboard_paint(c.cr, &l, theme, &s, NULL, 0, NULL);
    for (unsigned string = 0; string < 6; ++string)
      for (unsigned fret = 0; fret <= 12; ++fret) {
        const WayPc pc = way_pc(way_fretboard_pitch(&b, string, fret));
        const double x = way_fret_x(&l, fret) - l.radius, d = 2 * l.radius;
        const double y = way_fret_y(&l, string) - l.radius;
        const int green = canvas_count(&c, x, y, d, d, way_chip_colour(WAY_ROLE_CHORD));
        const int blue = canvas_count(&c, x, y, d, d, way_chip_colour(WAY_ROLE_SCALE));
        const bool in = way_pcs_has(s.set, pc);
        const bool chord = s.roles[pc].role == WAY_ROLE_CHORD;
        assert_int_equal(green > 300, in && chord);
        assert_int_equal(blue > 60, in && !chord);
      }
    canvas_free(c);
  }
}

static void test_targets_and_sounding_notes_are_ringed(void** state) {
  (void)state;
  const WayFretboard b = way_fretboard_default();
  const WayFretLayout l =
      way_fret_layout(&b, (WayBox){10, 10, WIDTH - 20, HEIGHT - 20});
  const WayTheme* const theme = way_theme(WAY_THEME_DARK);
  WayShown s = shown_of("C", "1 3 5", "C major");
  s.targets = WAY_PC_BIT(11);
  int rings[3];
  for (int i = 0; i < 3; ++i) {
    const WaySounding note = {64, i == 2 ? 6 : 0}; // E4
    s.closing = i / 2.0;
    Canvas c = canvas_of(WIDTH, HEIGHT, theme->ground);
    way_fretboard_paint(c.cr, &l, theme, &s, &note, 1, NULL);
    const double r = 1.3 * l.radius;
    rings[i] = canvas_count(&c, 0, 0, WIDTH, HEIGHT, theme->target);
    // Fret 5 of string 5 is another place of E4: ringed unless the string is known.
    const int ink = canvas_count(&c, way_fret_x(&l, 5) - r, way_fret_y(&l, 4) - r,
                                 2 * r, 2 * r, theme->ink);
    assert_int_equal(ink > 40, i < 2);
    canvas_free(c);
  }
  assert_true(rings[0] > rings[1] && rings[1] > rings[2] && rings[2] > 200);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_each_place_has_its_sign),
      cmocka_unit_test(test_targets_and_sounding_notes_are_ringed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
