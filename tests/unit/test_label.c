#include "check.h"
#include "draw/label.h"

#include <math.h>

static cairo_t* canvas(void) {
  cairo_surface_t* const s = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, 200, 60);
  cairo_t* const cr = cairo_create(s);
  cairo_surface_destroy(s);
  return cr;
}

// Columns of the canvas that hold ink, as first and last; first > last if there is
// none.
static void inked(cairo_t* cr, int* first, int* last) {
  cairo_surface_t* const s = cairo_get_target(cr);
  cairo_surface_flush(s);
  *first = 200;
  *last = -1;
  for (int y = 0; y < 60; ++y)
    for (int x = 0; x < 200; ++x)
      if (cairo_image_surface_get_data(
              s)[y * cairo_image_surface_get_stride(s) + 4 * x + 3]) {
        if (x < *first) *first = x;
        if (x > *last) *last = x;
      }
}

static void test_alignment(void** state) {
  (void)state;
  for (WayAlign align = WAY_ALIGN_LEFT; align <= WAY_ALIGN_RIGHT; ++align) {
    cairo_t* const cr = canvas();
    const double width =
        way_label(cr, 100, 30, &(WayLabelStyle){16, false, align, 0}, "HHHH");
    int first, last;
    inked(cr, &first, &last);
    const double left = 100 - width * (int)align / 2;
    assert_true(first >= left - 1 && last <= left + width + 1);
    assert_true(first < left + 6 && last > left + width - 6);
    cairo_destroy(cr);
  }
}

static void test_a_long_text_is_set_smaller(void** state) {
  (void)state;
  cairo_t* const cr = canvas();
  const double width = way_label(
      cr, 20, 30, &(WayLabelStyle){16, true, WAY_ALIGN_LEFT, 40}, "a long long text");
  assert_true(width <= 40.01 && width > 39);
  int first, last;
  inked(cr, &first, &last);
  assert_true(first >= 19 && last <= 61);
  cairo_destroy(cr);
}

static void test_a_long_text_is_cut(void** state) {
  (void)state;
  cairo_t* const cr = canvas();
  const WayLabelStyle style = {16, true, WAY_ALIGN_LEFT, 60};
  const double width = way_label_cut(cr, 20, 30, &style, "a long long text");
  assert_true(width <= 60.01 && width > 40);
  int first, last;
  inked(cr, &first, &last);
  assert_true(first >= 19 && last <= 81);
  // What comes after it is whole, and what fits is as ever.
  assert_near(way_label_width(cr, &(WayLabelStyle){16, true, WAY_ALIGN_LEFT, 0}, "ab"),
              way_label_cut(cr, 0, 0, &style, "ab"), 1e-9);
  assert_true(way_label_width(cr, &(WayLabelStyle){16, true, WAY_ALIGN_LEFT, 0},
                              "a long long text") > 100);
  cairo_destroy(cr);
}

static void test_accidentals_become_music_signs(void** state) {
  (void)state;
  char text[32];
  WayOut out = way_out(text, sizeof(text));
  way_label_signs("Bbmaj7#11/F", &out);
  assert_string_equal(text, "B\u266Dmaj7\u266F11/F");
}

/// Rows of some columns of the canvas that hold ink.
static void inked_rows(cairo_t* cr, int from, int to, int* first, int* last) {
  cairo_surface_t* const s = cairo_get_target(cr);
  cairo_surface_flush(s);
  *first = 60;
  *last = -1;
  for (int y = 0; y < 60; ++y)
    for (int x = from; x < to; ++x)
      if (cairo_image_surface_get_data(
              s)[y * cairo_image_surface_get_stride(s) + 4 * x + 3] > 128) {
        if (y < *first) *first = y;
        *last = y;
      }
}

// Signs are taller than the letters beside them, which stay where they are without.
static void test_signs_are_large(void** state) {
  (void)state;
  const WayLabelStyle style = {30, false, WAY_ALIGN_LEFT, 0};
  for (int scale = 1; scale < 3; ++scale) { // the surface's, too
    int top[3], bottom[3];
    cairo_t* cr = canvas();
    cairo_scale(cr, 1, 1.0 / scale);
    const double width = way_label(cr, 10, 30 * scale, &style, "B");
    inked_rows(cr, 0, 10 + (int)width, &top[0], &bottom[0]);
    cairo_destroy(cr);
    cr = canvas();
    cairo_scale(cr, 1, 1.0 / scale);
    const double both = way_label(cr, 10, 30 * scale, &style, "B\u266D");
    inked_rows(cr, 0, 10 + (int)width, &top[1], &bottom[1]);
    inked_rows(cr, 11 + (int)width, 200, &top[2], &bottom[2]);
    assert_int_equal(top[1], top[0]);
    assert_int_equal(bottom[1], bottom[0]);
    assert_true(bottom[2] - top[2] > 1.1 * (bottom[0] - top[0]));
    // Nothing of it stays for what is set next.
    assert_true(both > width);
    assert_true(fabs(way_label_width(cr, &style, "B") - width) < 1e-9);
    cairo_destroy(cr);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_alignment),
      cmocka_unit_test(test_a_long_text_is_set_smaller),
      cmocka_unit_test(test_a_long_text_is_cut),
      cmocka_unit_test(test_accidentals_become_music_signs),
      cmocka_unit_test(test_signs_are_large),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
