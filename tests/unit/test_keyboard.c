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

// Keys and signs lie in the box; a sign lies on its own key, and on no raised one
// beside it; naturals are all as wide.
static void test_signs_lie_on_their_keys(void** state) {
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
      for (int other = pitch - 1; other <= pitch + 1; ++other)
        if (other == pitch || (other >= l.board.low && other <= l.board.high &&
                               way_keyboard_raised(other)))
          assert_int_equal(way_box_has(way_key_box(&l, other), x, y), other == pitch);
      const WayBox key = way_key_box(&l, pitch);
      assert_true(key.x >= box.x - 1e-9 &&
                  way_box_right(key) <= way_box_right(box) + 1e-9);
      if (!way_keyboard_raised(pitch)) assert_near(key.width, l.key, 1e-9);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_boards_are_made_whole),
      cmocka_unit_test(test_signs_lie_on_their_keys),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
