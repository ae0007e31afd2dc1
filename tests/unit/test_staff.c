#include "draw/staff.h"

#include "theory.h"

// Common practice, no source: the treble staff's lines are E G B D F, the bass staff's
// G B D F A; middle C hangs one ledger line below the one and above the other.
static void test_lines_and_spaces(void** state) {
  (void)state;
  static const struct {
    WayClef clef;
    const char* note;
    int pitch, step;
  } cases[] = {{WAY_CLEF_TREBLE, "E", 64, 0},  {WAY_CLEF_TREBLE, "B", 71, 4},
               {WAY_CLEF_TREBLE, "F", 77, 8},  {WAY_CLEF_TREBLE, "C", 60, -2},
               {WAY_CLEF_TREBLE, "B#", 72, 4}, {WAY_CLEF_TREBLE, "Cb", 71, 5},
               {WAY_CLEF_BASS, "G", 43, 0},    {WAY_CLEF_BASS, "A", 57, 8},
               {WAY_CLEF_BASS, "C", 60, 10},   {WAY_CLEF_BASS, "Fx", 55, 6}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_int_equal(
        way_staff_step(cases[i].clef, a_note(cases[i].note), cases[i].pitch),
        cases[i].step);
}

// The signs of a signature are the altered notes of the key, each once, all on or next
// to the staff.
static void test_signatures_are_the_keys_altered_notes(void** state) {
  (void)state;
  for (int clef = WAY_CLEF_TREBLE; clef <= WAY_CLEF_BASS; ++clef)
    for (int fifths = -7; fifths <= 7; ++fifths) {
      const WayKey key = {way_spelling_at_fifths(fifths), WAY_MODE_MAJOR};
      int8_t steps[WAY_SIGNATURE_MAX];
      assert_int_equal(way_staff_signature((WayClef)clef, key, steps), fifths);
      WayStaffBar bar = way_staff_bar((WayClef)clef, key);
      const WayScale scale = way_material_of_key(key).parent;
      for (unsigned i = 0; i < scale.n; ++i) {
        const WaySpelling note = way_scale_note(&scale, i);
        assert_int_equal(bar.by_letter[note.letter], note.alter);
        const int step =
            way_staff_step((WayClef)clef, note, 60 + way_spelling_pc(note));
        assert_false(way_staff_accidental(&bar, note, step));
      }
      for (int i = 0; i < (fifths < 0 ? -fifths : fifths); ++i)
        assert_in_range(steps[i] + 1, 0, 10);
    }
  const WayKey far = {a_note("G#"), WAY_MODE_MAJOR};
  int8_t steps[WAY_SIGNATURE_MAX];
  assert_int_equal(way_staff_signature(WAY_CLEF_TREBLE, far, steps), 0);
}

// Common practice, no source: an accidental holds to the end of the bar, in its octave.
static void test_accidentals_hold_in_their_bar(void** state) {
  (void)state;
  const WayKey g = a_key("G major");
  WayStaffBar bar = way_staff_bar(WAY_CLEF_TREBLE, g);
  assert_true(way_staff_accidental(&bar, a_note("F"), 1));
  assert_false(way_staff_accidental(&bar, a_note("F"), 1));
  assert_true(way_staff_accidental(&bar, a_note("F"), 8));
  assert_true(way_staff_accidental(&bar, a_note("F#"), 1));
  bar = way_staff_bar(WAY_CLEF_TREBLE, g);
  assert_false(way_staff_accidental(&bar, a_note("F#"), 1));
}

// Written lengths add up to what they stand for.
static void test_values_add_up(void** state) {
  (void)state;
  for (WayTick sixteenths = 1; sixteenths <= 96; ++sixteenths) {
    WayStaffValue values[WAY_VALUES_MAX];
    const WayTick length = sixteenths * WAY_TICKS_PER_QUARTER / 4;
    const unsigned n = way_staff_values(length, values);
    WayTick sum = 0;
    assert_true(n);
    for (unsigned i = 0; i < n; ++i) {
      // What the signs say: a stem halves, a filled head and each flag once more.
      WayTick says = 4 * WAY_TICKS_PER_QUARTER;
      if (values[i].stem) says /= 2;
      if (!values[i].hollow) says /= 2;
      says >>= values[i].flags;
      if (values[i].dot) says += says / 2;
      assert_int_equal(says, values[i].ticks);
      sum += says;
    }
    assert_int_equal(sum, length);
  }
  WayStaffValue values[WAY_VALUES_MAX];
  assert_int_equal(way_staff_values(4 * WAY_TICKS_PER_QUARTER / 3, values), 0);
  assert_int_equal(way_staff_values((WayTick)100 * 4 * WAY_TICKS_PER_QUARTER, values),
                   0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_lines_and_spaces),
      cmocka_unit_test(test_signatures_are_the_keys_altered_notes),
      cmocka_unit_test(test_accidentals_hold_in_their_bar),
      cmocka_unit_test(test_values_add_up),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
