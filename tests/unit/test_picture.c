#include "draw/picture.h"

#include "check.h"

#include <stdlib.h>

static void draw(cairo_t* cr, const void* what) {
  const double* const red = what;
  cairo_set_source_rgb(cr, *red, 0, 0);
  cairo_paint(cr);
}

// The first bytes are those of the formats: W3C PNG (third edition) 5.2; XML.
static void test_files_are_what_they_say(void** state) {
  (void)state;
  const double red = 1;
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_picture_png(30, 20, draw, &red, &bytes, &size), WAY_OK);
  assert_memory_equal(bytes, "\x89PNG\r\n\x1A\n", 8);
  assert_memory_equal(bytes + 16, "\0\0\0\x1E\0\0\0\x14", 8); // width, height
  free(bytes);
  assert_int_equal(way_picture_svg(30, 20, draw, &red, &bytes, &size), WAY_OK);
  assert_memory_equal(bytes, "<?xml", 5);
  free(bytes);
}

// cairo takes sizes up to 32767.
static void test_too_large_changes_nothing(void** state) {
  (void)state;
  const double red = 1;
  char* bytes = NULL;
  size_t size = 7;
  assert_int_equal(way_picture_png(100000, 20, draw, &red, &bytes, &size),
                   WAY_ERR_NO_MEMORY);
  assert_null(bytes);
  assert_int_equal(size, 7);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_files_are_what_they_say),
      cmocka_unit_test(test_too_large_changes_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
