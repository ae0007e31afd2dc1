#include "check.h"
#include "theory/tones.h"

static void test_a_set_becomes_degrees_in_order(void** state) {
  (void)state;
  const WayTones t = WAY_TONE(13, 0) | WAY_TONE(9, 1) | WAY_TONE(1, 0) |
                     WAY_TONE(9, -1) | WAY_TONE(7, -2) | WAY_TONE(3, 0);
  const WayChord c = way_tones_chord(t, (WaySpelling){0, 0});
  static const WayDegree order[] = {{1, 0}, {3, 0}, {7, -2}, {9, -1}, {9, 1}, {13, 0}};
  assert_int_equal(c.n_tones, 6);
  assert_int_equal(c.n_basic, 3);
  assert_memory_equal(c.tones, order, sizeof(order));
  assert_true(way_tones_of_chord(&c) == t);
}

static void test_normal_form(void** state) {
  (void)state;
  const WayTones third = WAY_TONE(3, -1), seventh = WAY_TONE(7, -1);
  const WayTones low = WAY_TONE(2, 0) | WAY_TONE(4, 1) | WAY_TONE(6, -1);
  const WayTones high = WAY_TONE(9, 0) | WAY_TONE(11, 1) | WAY_TONE(13, -1);
  assert_true(way_tones_normal(low) == low);
  assert_true(way_tones_normal(low | high) == low);
  assert_true(way_tones_normal(low | third | seventh) == (high | third | seventh));
  assert_true(way_tones_normal(high) == high);
}

// Common practice, no source.
static void test_figures(void** state) {
  (void)state;
  const WayTones minor = WAY_TONE(3, -1), major = WAY_TONE(3, 0);
  const WayTones flat = WAY_TONE(7, -1), natural = WAY_TONE(7, 0);
  const WayTones ninth = WAY_TONE(9, 0), both = ninth | WAY_TONE(11, 0);
  const WayTones thirteenth = WAY_TONE(13, 0);
  const struct {
    int figure;
    WayTones triad, seventh, adds;
  } cases[] = {{6, major, flat, WAY_TONE(6, 0)},
               {7, major, natural, natural},
               {9, minor, flat, flat | ninth},
               {11, major, flat, flat | both},
               {13, major, flat, flat | ninth | thirteenth},
               {13, minor, flat, flat | both | thirteenth},
               {13, major, natural, natural | both | thirteenth},
               {5, major, flat, 0},
               {8, major, flat, 0}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_true(way_tones_of_figure(cases[i].figure, cases[i].triad,
                                    cases[i].seventh) == cases[i].adds);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_set_becomes_degrees_in_order),
      cmocka_unit_test(test_normal_form),
      cmocka_unit_test(test_figures),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
