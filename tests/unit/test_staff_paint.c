#include "draw/staff_paint.h"

#include "canvas.h"

#define SPACE 20.0

static const WayColour black = {0, 0, 0}, white = {1, 1, 1};

static Canvas paper(void) {
  const Canvas c = canvas_of(200, 300, white);
  cairo_set_source_rgb(c.cr, 0, 0, 0);
  return c;
}

static const WayStaffPlace place = {190, SPACE};

static int ink(const Canvas* c, double x, double y, double width, double height) {
  return canvas_count(c, x, y, width, height, black);
}

static void test_five_lines(void** state) {
  (void)state;
  const Canvas c = paper();
  way_staff_lines(c.cr, &place, 10, 190);
  int lines = 0;
  bool before = false;
  for (int y = 0; y < 300; ++y) {
    const bool on = canvas_at(&c, 100, y) != colour_of(white);
    lines += on && !before;
    before = on;
  }
  assert_int_equal(lines, 5);
  canvas_free(c);
}

static void test_heads_stand_on_their_step(void** state) {
  (void)state;
  const WayStaffValue quarter = {WAY_TICKS_PER_QUARTER, false, true, 0, false};
  for (int step = -5; step <= 12; ++step) {
    const Canvas c = paper();
    way_staff_note(c.cr, &place, 100, step, &quarter);
    const double y = way_staff_y(&place, step);
    assert_near(y, 190 - step * SPACE / 2, 1e-9);
    // The middle of the head is filled.
    assert_true(ink(&c, 96, y - 4, 8, 8) > 55);
    // Stems point to the staff's middle: up on the right, down on the left.
    const int up = ink(&c, 104, y - 2.8 * SPACE, 12, SPACE);
    const int down = ink(&c, 84, y + 1.8 * SPACE, 12, SPACE);
    assert_true(step < 4 ? up > 15 && !down : down > 15 && !up);
    canvas_free(c);
  }
}

static void test_open_heads_are_open(void** state) {
  (void)state;
  for (int stem = 0; stem <= 1; ++stem) {
    const Canvas c = paper();
    const WayStaffValue value = {1, true, stem != 0, 0, false};
    way_staff_note(c.cr, &place, 100, 3, &value);
    assert_int_equal(ink(&c, 99, way_staff_y(&place, 3) - 1, 2, 2), 0);
    assert_true(ink(&c, 80, 100, 40, 100) > 60);
    canvas_free(c);
  }
}

static void test_every_sign_leaves_ink_where_it_is_put(void** state) {
  (void)state;
  for (int alter = -2; alter <= 2; ++alter) {
    const Canvas c = paper();
    way_staff_alter(c.cr, &place, 100, 4, alter);
    assert_true(ink(&c, 60, 100, 42, 100) > 40);
    assert_int_equal(ink(&c, 103, 100, 97, 100), 0);
    canvas_free(c);
  }
  for (int clef = WAY_CLEF_TREBLE; clef <= WAY_CLEF_BASS; ++clef) {
    const Canvas c = paper();
    const double width = way_staff_clef(c.cr, &place, 10, (WayClef)clef);
    assert_true(ink(&c, 10, 80, width, 180) > 400);
    assert_int_equal(ink(&c, 10 + width, 0, 190 - width, 300), 0);
    canvas_free(c);
  }
}

static void test_signatures_take_width_by_their_signs(void** state) {
  (void)state;
  const Canvas c = paper();
  double before = 0;
  for (int fifths = 0; fifths <= 7; ++fifths) {
    const WayKey key = {way_spelling_at_fifths(fifths), WAY_MODE_MAJOR};
    const double width = way_staff_signs(c.cr, &place, 10, WAY_CLEF_TREBLE, key);
    assert_true(fifths ? width > before : !(width > 0));
    before = width;
  }
  canvas_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_five_lines),
      cmocka_unit_test(test_heads_stand_on_their_step),
      cmocka_unit_test(test_open_heads_are_open),
      cmocka_unit_test(test_every_sign_leaves_ink_where_it_is_put),
      cmocka_unit_test(test_signatures_take_width_by_their_signs),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
