#include "check.h"
#include "draw/chip.h"

#include <math.h>
#include <stdlib.h>

// The set of Okabe and Ito, as in docs and screen.
static void test_colours(void** state) {
  (void)state;
  static const uint32_t expected[WAY_ROLE_COUNT] = {0x009E73, 0x56B4E9, 0xD55E00};
  for (WayRole r = WAY_ROLE_CHORD; r < WAY_ROLE_COUNT; ++r) {
    const WayColour c = way_chip_colour(r);
    assert_int_equal(lround(c.red * 255) << 16 | lround(c.green * 255) << 8 |
                         lround(c.blue * 255),
                     expected[r]);
  }
}

static cairo_surface_t* drawn(WayRole role, bool extension) {
  cairo_surface_t* const s = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, 64, 64);
  cairo_t* const cr = cairo_create(s);
  const WayRoleOf what = {(uint8_t)role, 4, extension, {3, 0}};
  way_chip(cr, 32, 32, 24, what, (WayColour){0, 0, 0});
  cairo_destroy(cr);
  cairo_surface_flush(s);
  return s;
}

// Pixels with ink, and whether all of them lie within the radius.
static int inked(cairo_surface_t* s, bool* within) {
  int n = 0;
  *within = true;
  for (int y = 0; y < 64; ++y)
    for (int x = 0; x < 64; ++x) {
      if (!cairo_image_surface_get_data(
              s)[y * cairo_image_surface_get_stride(s) + 4 * x + 3])
        continue;
      ++n;
      if (hypot(x + 0.5 - 32, y + 0.5 - 32) > 25.5) *within = false;
    }
  return n;
}

// Without any colour the roles still differ, by how much ground they cover.
static void test_shapes_differ_without_colour(void** state) {
  (void)state;
  int ink[4];
  for (int i = 0; i < 4; ++i) {
    bool within;
    cairo_surface_t* const s = drawn(i < 3 ? (WayRole)i : WAY_ROLE_CHORD, i == 3);
    ink[i] = inked(s, &within);
    assert_true(within);
    cairo_surface_destroy(s);
  }
  assert_true(ink[WAY_ROLE_CHORD] > 2 * ink[WAY_ROLE_SCALE]);
  assert_true(ink[WAY_ROLE_SCALE] > 2 * ink[WAY_ROLE_CHROMATIC]);
  assert_true(ink[3] < ink[WAY_ROLE_CHORD]);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_colours),
      cmocka_unit_test(test_shapes_differ_without_colour),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
