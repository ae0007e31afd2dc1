#include "draw/canvas.h"

#include "check.h"

#include <stdlib.h>

static void draw(cairo_t* cr, uint32_t page, const void* what) {
  assert_string_equal(what, "handed through");
  cairo_rectangle(cr, 0, 0, 1 + page, 1);
  cairo_fill(cr);
}

static WayCanvas canvas_of(double width, double height, uint32_t pages) {
  return (WayCanvas){width, height, pages, "A title", draw, "handed through"};
}

static unsigned count(const char* bytes, size_t size, const char* word) {
  const size_t n = strlen(word);
  unsigned found = 0;
  for (size_t i = 0; i + n <= size; ++i) found += !memcmp(bytes + i, word, n);
  return found;
}

// The first bytes by the formats' own standards: PNG (W3C), SVG 1.1 (W3C), ISO 32000.
static void test_each_kind_is_what_it_says(void** state) {
  (void)state;
  static const struct {
    WayCanvasKind kind;
    const char* begins;
    size_t n;
  } kinds[] = {
      {WAY_CANVAS_SVG, "<?xml", 5},
      {WAY_CANVAS_PNG, "\x89PNG\r\n\x1A\n\0\0\0\rIHDR\0\0\0\x14\0\0\0\x3C", 24},
      {WAY_CANVAS_FRAME, "\x89PNG\r\n\x1A\n\0\0\0\rIHDR\0\0\0\x0A\0\0\0\x1E", 24},
      {WAY_CANVAS_PDF, "%PDF-", 5}};
  for (size_t i = 0; i < WAY_COUNT(kinds); ++i) {
    const WayCanvas c = canvas_of(10, 30, 1);
    char* bytes = NULL;
    size_t size = 0;
    assert_int_equal(way_canvas_write(&c, kinds[i].kind, &bytes, &size), WAY_OK);
    assert_true(size > kinds[i].n);
    assert_memory_equal(bytes, kinds[i].begins, kinds[i].n);
    free(bytes);
  }
}

static void test_only_a_pdf_has_pages(void** state) {
  (void)state;
  const WayCanvas c = canvas_of(100, 100, 3);
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_canvas_write(&c, WAY_CANVAS_PDF, &bytes, &size), WAY_OK);
  assert_int_equal(count(bytes, size, "/Count 3"), 1);
  free(bytes);
  bytes = NULL;
  assert_int_equal(way_canvas_write(&c, WAY_CANVAS_SVG, &bytes, &size), WAY_ERR_RANGE);
  assert_int_equal(way_canvas_write(&c, WAY_CANVAS_PNG, &bytes, &size), WAY_ERR_RANGE);
  assert_null(bytes);
}

static void test_an_image_has_its_limits(void** state) {
  (void)state;
  const WayCanvas c = canvas_of(10, 20000, 1);
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_canvas_write(&c, WAY_CANVAS_PNG, &bytes, &size), WAY_ERR_RANGE);
  assert_null(bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_each_kind_is_what_it_says),
      cmocka_unit_test(test_only_a_pdf_has_pages),
      cmocka_unit_test(test_an_image_has_its_limits),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
