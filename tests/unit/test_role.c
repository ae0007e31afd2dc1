#include "check.h"
#include "theory.h"
#include "theory/role.h"

// The label and, after it, `.` for a chord tone, `+` for an extension, `o` for a scale
// tone or `x` for a chromatic one; for each semitone above the root.
static void assert_roles(const WayChord* chord, WayPcSet scale, WaySpelling tonic,
                         const char* expected) {
  WayRoleOf roles[12];
  way_role_table(chord, scale, tonic, roles);
  char text[128];
  WayOut out = way_out(text, sizeof(text));
  const int root = way_spelling_pc(way_chord_is_none(chord) ? tonic : chord->root);
  for (unsigned i = 0; i < 12; ++i) {
    const WayRoleOf r = roles[way_pc(root + (int)i)];
    assert_int_equal(r.interval, i);
    assert_int_equal(way_degree_pc(r.degree), i);
    if (i) way_out_char(&out, ' ');
    way_role_degree_write(r.degree, &out);
    way_out_char(&out, r.extension ? '+' : ".ox"[r.role]);
  }
  assert_string_equal(text, expected);
}

// The labels of docs/theory.md, section "Roles" (common practice, no source).
static void test_labels_over_chords_of_a_key(void** state) {
  (void)state;
  static const struct {
    const char *root, *tones, *bass, *key, *expected;
  } cases[] = {
      {"C", "1 3 5 7", NULL, "C", "R. b9x 9o #9x 3. 11o #11x 5. b13x 13o b7x 7."},
      {"F", "1 3 5 7", NULL, "C", "R. b9x 9o #9x 3. 11x #11o 5. b13x 13o b7x 7."},
      {"G", "1 3 5 b7", NULL, "C", "R. b9x 9o #9x 3. 11o #11x 5. b13x 13o b7. 7x"},
      {"D", "1 b3 5 b7", NULL, "C", "R. b9x 9o b3. 3x 11o b5x 5. b13x 13o b7. 7x"},
      {"E", "1 b3 5", NULL, "C", "R. b9o 9x b3. 3x 11o b5x 5. b13o 13x b7o 7x"},
      {"B", "1 b3 b5 b7", NULL, "C", "R. b9o 9x b3. 3x 11o b5. 5x b13o 13x b7. 7x"},
      {"G", "1 4 5 b7", NULL, "C", "R. b9x 9o #9x 3o 4. #11x 5. b13x 13o b7. 7x"},
      {"C", "1 3 5 9", NULL, "C", "R. b9x 9+ #9x 3. 11o #11x 5. b13x 13o b7x 7o"},
      {"C", "1 3 5", "D", "C", "R. b9x 9+ #9x 3. 11o #11x 5. b13x 13o b7x 7o"},
      {"C", "1 3 5", "E", "C", "R. b9x 9o #9x 3. 11o #11x 5. b13x 13o b7x 7o"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayChord chord = a_chord(cases[i].root, cases[i].tones, cases[i].bass);
    const WayKey key = a_key(cases[i].key);
    assert_roles(&chord, way_key_set(key), key.tonic, cases[i].expected);
  }
}

static void test_labels_in_altered_surroundings(void** state) {
  (void)state;
  // A diminished seventh on the raised seventh of A minor: C is a diminished fourth.
  const WayChord dim = a_chord("G#", "1 b3 b5 bb7", NULL);
  assert_roles(&dim, 0xB35, a_note("A"),
               "R. b9o 9x b3. b11o 11x b5. 5x b13o bb7. b7x 7x");
  // The same without its seventh: F is still heard as one, unless the scale has F#.
  const WayChord triad = a_chord("G#", "1 b3 b5", NULL);
  assert_roles(&triad, 0xB35, a_note("A"),
               "R. b9o 9x b3. b11o 11x b5. 5x b13o bb7o b7x 7x");
  assert_roles(&triad, 0xB75, a_note("A"),
               "R. b9o 9x b3. b11o 11x b5. 5x b13o 13o b7o 7x");
  // No fifth in the chord: the scale tells which one it has.
  const WayChord shell = a_chord("C", "1 3 b7", NULL);
  assert_roles(&shell, 0x55F & ~0x080, a_note("C"),
               "R. b9o 9o #9o 3. 11x b5o 5x b13o 13x b7. 7x");
  const WayChord sharp = a_chord("C", "1 3 7", NULL);
  assert_roles(&sharp, 0xB35, a_note("C"),
               "R. b9x 9o #9x 3. 11o #11x 5x #5o 13o b7x 7.");
}

static void test_no_chord_counts_from_the_tonic(void** state) {
  (void)state;
  const WayChord none = way_chord_none();
  assert_roles(&none, way_key_set(a_key("D minor")), a_note("D"),
               "Ro b2x 2o b3o 3x 4o #4x 5o b6o 6x b7o 7x");
}

static void test_names(void** state) {
  (void)state;
  assert_string_equal(way_role_name(WAY_ROLE_CHORD), "chord tone");
  assert_string_equal(way_role_name(WAY_ROLE_SCALE), "scale tone");
  assert_string_equal(way_role_name(WAY_ROLE_CHROMATIC), "chromatic");
  assert_string_equal(way_role_name(WAY_ROLE_COUNT), "");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_labels_over_chords_of_a_key),
      cmocka_unit_test(test_labels_in_altered_surroundings),
      cmocka_unit_test(test_no_chord_counts_from_the_tonic),
      cmocka_unit_test(test_names),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
