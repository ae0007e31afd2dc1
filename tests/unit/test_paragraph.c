#include "draw/paragraph.h"

#include "check.h"

static void test_lines_break_at_the_width(void** state) {
  (void)state;
  cairo_surface_t* const image = cairo_image_surface_create(CAIRO_FORMAT_A8, 400, 400);
  cairo_t* const cr = cairo_create(image);
  const char text[] = "Sing the target before the chord arrives, then play it";
  const WayParagraphStyle wide = {10, 2000, false}, narrow = {10, 100, false};
  const double one = way_paragraph_height(cr, &wide, text);
  const double many = way_paragraph_height(cr, &narrow, text);
  assert_true(one > 9 && one < 20);
  assert_true(many > 2.5 * one);
  assert_true(way_paragraph(cr, 10, 10, &narrow, text) == many);
  cairo_surface_flush(image);
  // Nothing is set beyond the width, nor above the top.
  const unsigned char* const pixels = cairo_image_surface_get_data(image);
  const int stride = cairo_image_surface_get_stride(image);
  int inside = 0;
  for (int y = 0; y < 400; ++y)
    for (int x = 0; x < 400; ++x) {
      const bool set = pixels[y * stride + x];
      inside += set;
      if (set) assert_true(x >= 8 && x < 112 && y >= 9 && y < 11 + many);
    }
  assert_true(inside > 100);
  cairo_destroy(cr);
  cairo_surface_destroy(image);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_lines_break_at_the_width)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
