#include "chart/grow.h"

#include "alloc.h"
#include "check.h"

#include <stdlib.h>

static void test_arrays_grow_or_stay(void** state) {
  (void)state;
  uint32_t room = 0;
  int* items = NULL;
  for (int i = 0; i < 100; ++i) {
    items = way_grow(items, (uint32_t)i, &room, sizeof(*items));
    assert_non_null(items);
    items[i] = i;
  }
  const uint32_t before = room;
  alloc_fail_at(1);
  assert_null(way_grow(items, room, &room, sizeof(*items)));
  alloc_fail_at(0);
  assert_int_equal(room, before);
  for (int i = 0; i < 100; ++i) assert_int_equal(items[i], i);
  free(items);
}

static void test_no_array_outgrows_its_numbers(void** state) {
  (void)state;
  uint32_t room = UINT32_C(1) << 31;
  char items;
  assert_null(way_grow(&items, room, &room, 1));
  assert_int_equal(room, UINT32_C(1) << 31);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_arrays_grow_or_stay),
      cmocka_unit_test(test_no_array_outgrows_its_numbers),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
