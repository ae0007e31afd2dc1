#include "take/byte_store.h"

#include "alloc.h"
#include "check.h"
#include "rng.h"

// Property: no two pieces overlap, and none moves as more are taken.
static void test_bytes_stay_where_they_are(void** state) {
  (void)state;
  enum { PIECES = 300 };
  for (uint32_t seed = 1; seed <= 50; ++seed) {
    uint32_t rng = seed;
    WayByteStore store = {0};
    uint8_t* at[PIECES];
    size_t size[PIECES];
    for (int i = 0; i < PIECES; ++i) {
      size[i] = rng_below(&rng, 100);
      at[i] = way_byte_store_take(&store, size[i], 64);
      assert_non_null(at[i]);
      memset(at[i], i & 0xFF, size[i]);
    }
    for (int i = 0; i < PIECES; ++i)
      for (size_t k = 0; k < size[i]; ++k)
        if (at[i][k] != (i & 0xFF)) fail_msg("seed %u: piece %d", seed, i);
    way_byte_store_clear(&store);
    assert_null(store.blocks);
  }
}

static void test_out_of_memory_keeps_what_is_there(void** state) {
  (void)state;
  WayByteStore store = {0};
  uint8_t* const first = way_byte_store_take(&store, 8, 16);
  assert_non_null(first);
  *first = 7;
  alloc_fail_at(1);
  assert_non_null(way_byte_store_take(&store, 8, 16)); // there is room
  assert_null(way_byte_store_take(&store, 8, 16));
  alloc_fail_at(0);
  assert_int_equal(*first, 7);
  way_byte_store_clear(&store);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_bytes_stay_where_they_are),
      cmocka_unit_test(test_out_of_memory_keeps_what_is_there),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
