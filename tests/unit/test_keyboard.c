#include "draw/keyboard.h"

#include "check.h"
#include "rng.h"

static void test_boards_are_made_whole(void** state) {
  (void)state;
  for (int low = 0; low < 256; ++low)
    for (int high = 0; high < 256; ++high) {
      const WayKeyboard b =
          way_keyboard_clamped((WayKeyboard){(uint8_t)low, (uint8_t)high});
      assert_true(b.high <= 127 && b.high >= b.low + 12);
      assert_false(way_keyboard_raised(b.low) || way_keyboard_raised(b.high));
    }
}

// Keys and signs lie in the box; a key is found at its sign; naturals are all as wide.
static void test_keys_are_found_at_their_signs(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 200; ++seed) {
    uint32_t rng = seed;
    const WayKeyboard b = {(uint8_t)(rng_next(&rng) % 128),
                           (uint8_t)(rng_next(&rng) % 128)};
    const WayBox box = {5, 7, 640, 120};
    const WayKeyLayout l = way_key_layout(b, box);
    for (int pitch = l.board.low; pitch <= l.board.high; ++pitch) {
      double x, y;
      way_key_sign(&l, pitch, &x, &y);
      assert_true(way_box_has(box, x, y));
      assert_int_equal(way_key_at(&l, x, y), pitch);
      const WayBox key = way_key_box(&l, pitch);
      assert_true(key.x >= box.x - 1e-9 &&
                  way_box_right(key) <= way_box_right(box) + 1e-9);
      if (!way_keyboard_raised(pitch)) assert_near(key.width, l.key, 1e-9);
    }
    assert_int_equal(way_key_at(&l, 4, 10), -1);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_boards_are_made_whole),
      cmocka_unit_test(test_keys_are_found_at_their_signs),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
