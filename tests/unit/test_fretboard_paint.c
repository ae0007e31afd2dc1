#include "draw/fretboard_paint.h"

#include "canvas.h"
#include "contrast.h"
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

/// How a colour is seen: rows of a matrix on linear red, green and blue.
typedef struct {
  const char* name;
  double rows[3][3];
} Eye;

// Grey by the luminance of ITU-R BT.709; the others by G. Machado, M. Oliveira and
// L. Fernandes, A Physiologically-based Model for Simulation of Color Vision Deficiency
// (2009), severity 1.0; both written down from memory.
static const Eye eyes[] = {
    {"grey", {{.2126, .7152, .0722}, {.2126, .7152, .0722}, {.2126, .7152, .0722}}},
    {"protanopia",
     {{.152286, 1.052583, -.204868},
      {.114503, .786281, .099216},
      {-.003882, -.048116, 1.051998}}},
    {"deuteranopia",
     {{.367322, .860646, -.227968},
      {.280085, .672501, .047413},
      {-.01182, .04294, .968881}}},
    {"tritanopia",
     {{1.255528, -.076749, -.178779},
      {-.078411, .930809, .147602},
      {.004733, .691367, .3039}}},
};

static double linear(double v) {
  return v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4);
}

static double encoded(double v) {
  if (v <= 0) return 0;
  return v >= 1 ? 1 : v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1 / 2.4) - 0.055;
}

static WayColour seen(const Eye* eye, uint32_t rgb) {
  const double in[3] = {linear((rgb >> 16 & 255) / 255.0),
                        linear((rgb >> 8 & 255) / 255.0), linear((rgb & 255) / 255.0)};
  double out[3] = {0};
  for (int i = 0; i < 3; ++i)
    for (int k = 0; k < 3; ++k) out[i] += eye->rows[i][k] * in[k];
  return (WayColour){encoded(out[0]), encoded(out[1]), encoded(out[2])};
}

/// Of the points on a circle, the part that stands out from the ground.
static double standing_out(const Canvas* c, const Eye* eye, double x, double y,
                           double radius, WayColour ground) {
  int n = 0;
  for (int i = 0; i < 64; ++i) {
    // Not along the string, which runs through every place.
    const double turn =
        (i < 32 ? 0.15 : 1.15) * 3.14159265 + i % 32 * 0.7 * 3.14159265 / 32;
    const uint32_t rgb = canvas_at(c, x + radius * cos(turn), y + radius * sin(turn));
    n += contrast(seen(eye, rgb), ground) > 1.6;
  }
  return n / 64.0;
}

// Without colour, and to eyes that see others, a place can still be read by its shape:
// filled all over, a ring with little inside, or neither.
static void test_shapes_tell_the_role_to_all_eyes(void** state) {
  (void)state;
  const WayFretboard b = way_fretboard_default();
  const WayFretLayout l =
      way_fret_layout(&b, (WayBox){10, 10, WIDTH - 20, HEIGHT - 20});
  WayShown s = shown_of("E", "1 3 5 b7", "A minor");
  s.set = WAY_PCS_ALL;
  for (WayThemeName n = WAY_THEME_LIGHT; n < WAY_THEME_COUNT; ++n) {
    const WayTheme* const theme = way_theme(n);
    Canvas c = canvas_of(WIDTH, HEIGHT, theme->ground);
    way_fretboard_paint(c.cr, &l, theme, &s, NULL, 0, NULL);
    for (size_t e = 0; e < WAY_COUNT(eyes); ++e)
      for (unsigned fret = 0; fret <= 12; ++fret) {
        const WayRoleOf what = s.roles[way_pc(way_fretboard_pitch(&b, 2, fret))];
        const double x = way_fret_x(&l, fret), y = way_fret_y(&l, 2);
        const double r = l.radius * (what.interval ? 0.92 : 1);
        const WayColour ground = seen(&eyes[e], colour_of(theme->ground));
        const double inside = standing_out(&c, &eyes[e], x, y, 0.78 * r, ground);
        const double edge = standing_out(&c, &eyes[e], x, y, 0.92 * r, ground);
        const WayRole role = inside > 0.8 ? WAY_ROLE_CHORD
                             : edge > 0.8 ? WAY_ROLE_SCALE
                                          : WAY_ROLE_CHROMATIC;
        if (role != what.role)
          fail_msg("%s, %s, fret %u: %.2f inside, %.2f at the edge", way_theme_name(n),
                   eyes[e].name, fret, inside, edge);
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
      cmocka_unit_test(test_shapes_tell_the_role_to_all_eyes),
      cmocka_unit_test(test_targets_and_sounding_notes_are_ringed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
