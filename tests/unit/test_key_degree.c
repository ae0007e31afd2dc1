#include "theory/key_degree.h"

#include "check.h"

// The natural minor degrees and the raised sixth and seventh, as in docs/theory.md,
// section "What a minor key's degrees are".
static void test_degrees_of_minor(void** state) {
  (void)state;
  static const struct {
    int number, accidental;
    bool minor_third;
    int alter;
  } cases[] = {
      {3, 0, false, -1}, {3, -1, false, -1}, {6, 0, false, -1},  {6, 1, false, 0},
      {6, 0, true, 0},   {6, 1, true, 0},    {7, 0, true, 0},    {7, -1, true, -1},
      {7, 0, false, -1}, {2, 0, true, 0},    {2, -1, false, -1}, {7, -2, false, -2},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_int_equal(way_key_degree_alter(WAY_MODE_MINOR, cases[i].number,
                                          cases[i].accidental, cases[i].minor_third),
                     cases[i].alter);
}

// Property: the accidental written is one that means what was asked for.
static void test_accidentals_mean_their_alteration(void** state) {
  (void)state;
  for (int mode = 0; mode < WAY_MODE_COUNT; ++mode)
    for (int number = 1; number <= 7; ++number)
      for (int alter = -3; alter <= 3; ++alter)
        for (int third = 0; third < 2; ++third) {
          const WayMode m = (WayMode)mode;
          const int sign = way_key_degree_accidental(m, number, alter, third);
          assert_int_equal(way_key_degree_alter(m, number, sign, third), alter);
        }
}

// Property: a degree above a note, measured again, is that degree.
static void test_degrees_between_notes(void** state) {
  (void)state;
  for (int fifths = -10; fifths <= 10; ++fifths)
    for (int number = 1; number <= 7; ++number)
      for (int alter = -2; alter <= 2; ++alter) {
        const WaySpelling from = way_spelling_at_fifths(fifths);
        const WayDegree d = {(int8_t)number, (int8_t)alter};
        const WayDegree back = way_degree_between(from, way_spelling_above(from, d));
        assert_int_equal(back.number, number);
        assert_int_equal(back.alter, alter);
      }
}

// Property: the key's own note above any root belongs to the key.
static void test_own_notes_belong_to_the_key(void** state) {
  (void)state;
  for (int fifths = -6; fifths <= 6; ++fifths)
    for (int mode = 0; mode < WAY_MODE_COUNT; ++mode)
      for (int root = -8; root <= 12; ++root)
        for (int number = 1; number <= 14; ++number) {
          const WayKey key = {way_spelling_at_fifths(fifths), (WayMode)mode};
          const WaySpelling from = way_spelling_at_fifths(root);
          const WaySpelling note =
              way_spelling_above(from, way_key_degree_above(from, number, key));
          assert_true(way_pcs_has(way_key_set(key), way_spelling_pc(note)));
          assert_int_equal(note.letter, (from.letter + number - 1) % 7);
        }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_degrees_of_minor),
      cmocka_unit_test(test_accidentals_mean_their_alteration),
      cmocka_unit_test(test_degrees_between_notes),
      cmocka_unit_test(test_own_notes_belong_to_the_key),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
