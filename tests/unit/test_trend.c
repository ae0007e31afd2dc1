#include "draw/trend.h"

#include "check.h"

#include <stdlib.h>

static unsigned count(const char* text, const char* word) {
  unsigned n = 0;
  while ((text = strstr(text, word))) {
    ++n;
    ++text;
  }
  return n;
}

/// Draws an SVG; the discs in it are made of curves.
static unsigned curves(const WayLogTake* takes, uint32_t n, const WayDay* days,
                       uint32_t n_days, double* height) {
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_trend(takes, n, days, n_days, WAY_CANVAS_SVG, &bytes, &size),
                   WAY_OK);
  char* const text = calloc(1, size + 1);
  assert_non_null(text);
  memcpy(text, bytes, size);
  const char* const at = strstr(text, "height=\"");
  assert_non_null(at);
  *height = strtod(at + 8, NULL);
  const char* const drawn = strstr(text, "</defs>");
  const unsigned found = count(drawn ? drawn : text, " C ");
  free(bytes);
  free(text);
  return found;
}

static WayLogTake take_of(const char* tune, const char* day, double notes) {
  WayLogTake t = {.figures = {[WAY_FIGURE_NOTES] = notes,
                              [WAY_FIGURE_BARS] = 4,
                              [WAY_FIGURE_BASIC] = notes / 2}};
  memcpy(t.tune, tune, strlen(tune));
  memcpy(t.day.text, day, strlen(day));
  return t;
}

// Notes a bar, notes on basic tones and the spread are there to be drawn: three lines,
// with one point more for each take that is added.
static void test_a_point_for_each_take(void** state) {
  (void)state;
  const WayLogTake takes[] = {
      take_of("A", "2026-11-20", 8), take_of("A", "2026-11-21", 9),
      take_of("A", "2026-11-22", 9), take_of("B", "2026-11-22", 9)};
  const WayDay days[] = {{"2026-11-20"}, {"2026-11-21"}, {"2026-11-22"}};
  double height[5] = {0};
  unsigned drawn[5] = {0};
  for (uint32_t n = 1; n <= 4; ++n) drawn[n] = curves(takes, n, days, 3, &height[n]);
  assert_true(drawn[2] > drawn[1]);
  assert_int_equal((drawn[2] - drawn[1]) % 3, 0);
  assert_int_equal(drawn[3] - drawn[2], drawn[2] - drawn[1]);
  assert_true(height[3] == height[1]);
  assert_true(height[4] > height[3] + 100); // a tune of its own
}

static void test_an_empty_log_is_a_picture_too(void** state) {
  (void)state;
  double height = 0;
  curves(NULL, 0, NULL, 0, &height);
  assert_true(height > 100);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_point_for_each_take),
      cmocka_unit_test(test_an_empty_log_is_a_picture_too),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
