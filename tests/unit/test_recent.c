#include "check.h"
#include "live/recent.h"

static void test_the_newest_are_kept_in_order(void** state) {
  (void)state;
  WayRecent recent;
  way_recent_init(&recent);
  for (unsigned i = 0; i < WAY_RECENT; ++i)
    assert_true(way_recent_at(&recent, i)->frame == INT64_MIN);
  way_recent_add(&recent, (WayRecentNote){100, 60, 61});
  const WayRecentNote* const only = way_recent_at(&recent, WAY_RECENT - 1);
  assert_int_equal(only->frame, 100);
  assert_int_equal(only->note, 60);
  assert_int_equal(only->pitch, 61);
  assert_true(way_recent_at(&recent, WAY_RECENT - 2)->frame == INT64_MIN);
  for (unsigned i = 0; i < WAY_RECENT + 3; ++i)
    way_recent_add(&recent, (WayRecentNote){200 + i, 0, 0});
  for (unsigned i = 0; i < WAY_RECENT; ++i)
    assert_int_equal(way_recent_at(&recent, i)->frame, 203 + i);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_newest_are_kept_in_order)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
