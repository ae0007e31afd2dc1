#include "draw/sheet_paint.h"

#include "sheet.h"

#include <stdio.h>

/// Whether a point's colour is a grey.
static bool is_grey(uint32_t colour) {
  const uint32_t red = colour >> 16 & 255, green = colour >> 8 & 255;
  return red == green && green == (colour & 255);
}

static void test_every_page_stays_within_its_margins(void** state) {
  (void)state;
  WaySheetLook look = plain_look();
  look.all_positions = true;
  const Sheet s = sheet_of(LANTERN_ROW, look);
  for (uint32_t page = 0; page < s.sheet->n_pages; ++page) {
    const Canvas c = page_of(s.sheet, page);
    const double w = s.sheet->width, h = s.sheet->height;
    assert_true(has_ink(&c, 50, 30, w - 100, h - 60));
    assert_false(has_ink(&c, 0, 0, 30, h - 1));
    assert_false(has_ink(&c, w - 31, 0, 30, h - 1));
    assert_false(has_ink(&c, 0, h - 20, w - 1, 19));
    canvas_free(c);
  }
  sheet_free(s);
}

static void test_black_and_white_is_black_and_white(void** state) {
  (void)state;
  WaySheetLook look = plain_look();
  look.mono = true;
  const Sheet s = sheet_of(LANTERN_ROW, look);
  for (uint32_t page = 0; page < s.sheet->n_pages; ++page) {
    const Canvas c = page_of(s.sheet, page);
    for (int y = 0; y < (int)s.sheet->height; ++y)
      for (int x = 0; x < (int)s.sheet->width; ++x)
        if (!is_grey(canvas_at(&c, x, y)))
          fail_msg("page %u: colour at %d, %d", page, x, y);
    canvas_free(c);
  }
  sheet_free(s);
}

static unsigned count(const char* bytes, size_t size, const char* word) {
  const size_t n = strlen(word);
  unsigned found = 0;
  for (size_t i = 0; i + n <= size; ++i) found += !memcmp(bytes + i, word, n);
  return found;
}

static void test_a_pdf_has_the_pages_a_picture_their_heights(void** state) {
  (void)state;
  const Sheet s = sheet_of(LANTERN_ROW, plain_look());
  char *bytes = NULL, want[64];
  size_t size = 0;
  snprintf(want, sizeof(want), "/Count %u", s.sheet->n_pages);
  assert_int_equal(way_sheet_write(s.sheet, 0, WAY_CANVAS_PDF, &bytes, &size), WAY_OK);
  assert_int_equal(count(bytes, size, want), 1);
  free(bytes);
  assert_int_equal(way_sheet_write(s.sheet, 2, WAY_CANVAS_PDF, &bytes, &size), WAY_OK);
  assert_int_equal(count(bytes, size, "/Count 1"), 1);
  free(bytes);
  assert_int_equal(way_sheet_write(s.sheet, 0, WAY_CANVAS_PNG, &bytes, &size), WAY_OK);
  const uint8_t* const head = (const uint8_t*)bytes + 16; // PNG (W3C): width, height
  const uint32_t height = (uint32_t)head[4] << 24 | (uint32_t)head[5] << 16 |
                          (uint32_t)head[6] << 8 | head[7];
  assert_near(height, 2 * s.sheet->height * s.sheet->n_pages, 1);
  free(bytes);
  sheet_free(s);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_page_stays_within_its_margins),
      cmocka_unit_test(test_black_and_white_is_black_and_white),
      cmocka_unit_test(test_a_pdf_has_the_pages_a_picture_their_heights),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
