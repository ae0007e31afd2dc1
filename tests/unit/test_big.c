#include "alloc.h"
#include "check.h"
#include "take/big.h"

#include <stdint.h>
#include <stdlib.h>

enum { SMALL = 100, LARGE = 5 << 20 };

static void test_growing_keeps_what_is_there(void** state) {
  (void)state;
  uint8_t* at = way_big_resize(NULL, SMALL);
  assert_non_null(at);
  for (uint32_t i = 0; i < SMALL; ++i) at[i] = (uint8_t)(i * 7);
  at = way_big_resize(at, LARGE);
  assert_non_null(at);
  for (uint32_t i = 0; i < SMALL; ++i) assert_int_equal(at[i], (uint8_t)(i * 7));
  for (uint32_t i = SMALL; i < LARGE; ++i) at[i] = (uint8_t)(i * 7);
  at = way_big_resize(at, 2 * LARGE);
  assert_non_null(at);
  for (uint32_t i = 0; i < LARGE; ++i)
    if (at[i] != (uint8_t)(i * 7)) fail_msg("byte %u is lost", i);
  free(at);
}

static void test_no_memory(void** state) {
  (void)state;
  uint8_t* const at = way_big_resize(NULL, SMALL);
  at[0] = 1;
  alloc_fail_at(1);
  assert_null(way_big_resize(at, LARGE));
  alloc_fail_at(0);
  assert_int_equal(at[0], 1);
  free(at);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_growing_keeps_what_is_there),
      cmocka_unit_test(test_no_memory),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
