#include "check.h"
#include "theory/chord.h"

static const WayChord half_dim = { // F#m7b5/C
    {3, 1},
    {0, 0},
    {{1, 0}, {3, -1}, {5, -1}, {7, -1}},
    4,
    4};
static const WayChord ninth = { // D9
    {1, 0},
    {1, 0},
    {{1, 0}, {3, 0}, {5, 0}, {7, -1}, {9, 0}},
    5,
    4};

static void test_pitch_classes(void** state) {
  (void)state;
  assert_int_equal(way_chord_pcs(&half_dim), 1 << 6 | 1 << 9 | 1 << 0 | 1 << 4);
  assert_int_equal(way_chord_basic_pcs(&ninth), 1 << 2 | 1 << 6 | 1 << 9 | 1 << 0);
  assert_int_equal(way_chord_pcs(&ninth), way_chord_basic_pcs(&ninth) | 1 << 4);
}

static void test_tones_are_found_by_pitch_and_number(void** state) {
  (void)state;
  assert_ptr_equal(way_chord_tone_at(&ninth, 4), &ninth.tones[4]);
  assert_null(way_chord_tone_at(&ninth, 3));
  assert_ptr_equal(way_chord_tone_numbered(&half_dim, 5), &half_dim.tones[2]);
  assert_null(way_chord_tone_numbered(&half_dim, 9));
}

static void test_no_chord(void** state) {
  (void)state;
  const WayChord none = way_chord_none();
  assert_true(way_chord_is_none(&none));
  assert_int_equal(way_chord_pcs(&none), 0);
  assert_false(way_chord_equal(&none, &ninth));
  assert_true(way_chord_equal(&half_dim, &half_dim));
}

static void test_transposing_keeps_the_letters(void** state) {
  (void)state;
  const WaySpelling c = {0, 0}, eb = {2, -1};
  const WayChord up = way_chord_transposed(&half_dim, c, eb);
  assert_true(way_spelling_equal(up.root, (WaySpelling){5, 0}));
  assert_true(way_spelling_equal(up.bass, eb));
  const WayChord back = way_chord_transposed(&up, eb, c);
  assert_true(way_chord_equal(&back, &half_dim));
}

// Far transpositions end on a spelling that can still be written.
static void test_transposing_far_stays_writable(void** state) {
  (void)state;
  const WayChord far =
      way_chord_transposed(&half_dim, (WaySpelling){3, -4}, (WaySpelling){6, 4});
  assert_in_range(far.root.alter + WAY_ALTER_MAX, 0, 2 * WAY_ALTER_MAX);
  assert_int_equal(way_spelling_pc(far.root), way_pc(6 + 15 - 1));
}

// A triad of C: with a fourth, without a third, with a ninth behind it all, and turned.
static void test_tones_are_put_in_and_taken_out(void** state) {
  (void)state;
  WayChord c = {{0, 0}, {0, 0}, {{1, 0}, {3, 0}, {5, 0}}, 3, 3};
  way_chord_put(&c, (WayDegree){4, 0});
  way_chord_drop(&c, 3);
  way_chord_put(&c, (WayDegree){9, -1});
  way_chord_put(&c, (WayDegree){9, 0});
  const WayChord want = {{0, 0}, {0, 0}, {{1, 0}, {4, 0}, {5, 0}, {9, 0}}, 4, 3};
  assert_true(way_chord_equal(&c, &want));
  way_chord_drop(&c, 7);
  assert_true(way_chord_equal(&c, &want));
  for (int8_t number = 2; number <= 14; ++number)
    way_chord_put(&c, (WayDegree){number, 0});
  assert_int_equal(c.n_tones, WAY_CHORD_TONES_MAX);
}

static void test_any_tone_can_be_the_bass(void** state) {
  (void)state;
  WayChord c = ninth;
  assert_true(way_chord_invert(&c, 3));
  assert_true(way_spelling_equal(c.bass, (WaySpelling){3, 1})); // F#
  assert_false(way_chord_invert(&c, 11));
  assert_true(way_spelling_equal(c.bass, (WaySpelling){3, 1}));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_pitch_classes),
      cmocka_unit_test(test_tones_are_found_by_pitch_and_number),
      cmocka_unit_test(test_no_chord),
      cmocka_unit_test(test_tones_are_put_in_and_taken_out),
      cmocka_unit_test(test_any_tone_can_be_the_bass),
      cmocka_unit_test(test_transposing_keeps_the_letters),
      cmocka_unit_test(test_transposing_far_stays_writable),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
