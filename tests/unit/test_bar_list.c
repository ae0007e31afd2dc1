#include "check.h"
#include "played.h"
#include "take/bar_list.h"

/// The list of bars (of four beats, in a form of eight bars) that hold these beats.
static void check_list(const double* beats, uint32_t n, const char* expected) {
  WayTimeline* const t = timeline_of("| C | C | C | C | C | C | C | C |\n");
  WayBarList list = {.n = 0};
  for (uint32_t i = 0; i < n; ++i)
    way_bar_list_add(&list, t, llround(beats[i] * WAY_TICKS_PER_QUARTER));
  char text[128] = "";
  WayOut out = way_out(text, sizeof(text));
  way_bar_list_write(&list, &out);
  assert_string_equal(text, expected);
  way_timeline_free(t);
}
#define LIST(expected, ...)                                                            \
  check_list((const double[]){__VA_ARGS__},                                            \
             WAY_COUNT(((const double[]){__VA_ARGS__})), expected)

static void test_lists(void** state) {
  (void)state;
  LIST("bar 1", 0);
  LIST("bar 0", -1);
  LIST("bar 5", 16, 17, 19.9);
  LIST("bars 1 and 3", 0, 8);
  LIST("bars 1, 2, 3 and 4", 0, 4, 8, 12);
  LIST("bars 1, 2, 3, 4 and more", 0, 4, 8, 12, 16, 20);
  LIST("bars 1, 2 and chorus 2 bar 1", 0, 4, 32);
  LIST("chorus 2 bars 1 and 2", 32, 36);
  LIST("bar 1, chorus 2 bar 1 and chorus 3 bar 1", 0, 32, 64);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_lists)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
