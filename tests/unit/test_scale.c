#include "check.h"
#include "theory.h"
#include "theory/scale.h"

static WayScale a_scale(const char* tonic, const char* name) {
  const WayScaleType* const type = way_scale_find(way_text(name));
  assert_non_null(type);
  return way_scale_on(a_note(tonic), type);
}

// Notes as printed in any harmony book (common practice, no source).
static void test_worked_scales(void** state) {
  (void)state;
  static const char* const cases[][3] = {
      {"C", "major", "C D E F G A B"},
      {"F#", "ionian", "F# G# A# B C# D# E#"},
      {"Eb", "dorian", "Eb F Gb Ab Bb C Db"},
      {"A", "harmonic minor", "A B C D E F G#"},
      {"C", "altered", "C Db Eb Fb Gb Ab Bb"},
      {"G", "Super Locrian", "G Ab Bb Cb Db Eb F"},
      {"A", "Blues Scale", "A C D Eb E G"},
      {"A", "minor pentatonic", "A C D E G"},
      {"Bb", "lydian dominant", "Bb C D E F G Ab"},
      {"B", "whole-half", "B C# D E F G G# A#"},
      {"E", "Phrygian dominant mode", "E F G# A B C D"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayScale s = a_scale(cases[i][0], cases[i][1]);
    char text[64];
    assert_string_equal(notes_of(&s, text), cases[i][2]);
  }
}

static WayPcSet canonical(WayPcSet set) {
  WayPcSet least = WAY_PCS_ALL;
  WayPcSet mirror = 0;
  for (unsigned i = 0; i < 12; ++i)
    if (way_pcs_has(set, (WayPc)i)) mirror |= WAY_PC_BIT((12 - i) % 12);
  for (unsigned i = 0; i < 12; ++i) {
    if (way_pcs_move(set, i) < least) least = way_pcs_move(set, i);
    if (way_pcs_move(mirror, i) < least) least = way_pcs_move(mirror, i);
  }
  return least;
}

// Set classes of A. Forte, The Structure of Atonal Music (1973), appendix 1, typed from
// memory; A and B are ten and eleven.
static void test_set_classes(void** state) {
  (void)state;
  static const struct {
    const char* name;
    const char* forte;
    const char* prime;
  } cases[] = {
      {"major", "7-35", "013568A"},
      {"locrian", "7-35", "013568A"},
      {"melodic minor", "7-34", "013468A"},
      {"altered", "7-34", "013468A"},
      {"harmonic minor", "7-32", "0134689"},
      {"harmonic major", "7-32", "0134689"},
      {"double harmonic major", "7-22", "0125689"},
      {"neapolitan major", "7-33", "012468A"},
      {"leading whole tone", "7-33", "012468A"},
      {"major pentatonic", "5-35", "02479"},
      {"hirajoshi", "5-20", "01568"},
      {"whole tone", "6-35", "02468A"},
      {"augmented", "6-20", "014589"},
      {"major hexatonic", "6-32", "024579"},
      {"prometheus", "6-34", "013579"},
      {"tritone", "6-30", "013679"},
      {"diminished", "8-28", "0134679A"},
      {"half-whole diminished", "8-28", "0134679A"},
      {"limited transposition 3", "9-12", "01245689A"},
      {"limited transposition 4", "8-9", "01236789"},
      {"limited transposition 5", "6-7", "012678"},
      {"limited transposition 6", "8-25", "0124678A"},
      {"limited transposition 7", "10-6", "012346789A"},
      {"chromatic", "12-1", "0123456789AB"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayPcSet set = 0;
    for (const char* p = cases[i].prime; *p; ++p)
      set |= WAY_PC_BIT(*p >= 'A' ? *p - 'A' + 10 : *p - '0');
    const WayScale s = a_scale("C", cases[i].name);
    if (canonical(way_scale_pcs(&s)) != canonical(set))
      fail_msg("%s is not %s", cases[i].name, cases[i].forte);
  }
}

// The modes of a scale are its rotations.
static void test_modes_are_rotations(void** state) {
  (void)state;
  static const char* const families[][7] = {
      {"major", "dorian", "phrygian", "lydian", "mixolydian", "minor", "locrian"},
      {"melodic minor", "dorian b2", "lydian augmented", "lydian dominant",
       "mixolydian b6", "locrian #2", "altered"},
      {"harmonic minor", "locrian 6", "ionian #5", "dorian #4", "phrygian dominant",
       "lydian #2", "ultralocrian"},
      {"harmonic major", "dorian b5", "phrygian b4", "lydian b3", "mixolydian b2",
       "lydian augmented #2", "locrian bb7"},
      {"double harmonic", "lydian #2 #6", "ultraphrygian", "hungarian minor",
       "oriental", "ionian #2 #5", "locrian bb3 bb7"},
  };
  for (size_t f = 0; f < WAY_COUNT(families); ++f) {
    const WayScale parent = a_scale("C", families[f][0]);
    for (unsigned i = 0; i < 7; ++i) {
      const WayScale mode =
          way_scale_on(way_scale_note(&parent, i), a_scale("C", families[f][i]).type);
      assert_int_equal(way_scale_pcs(&mode), way_scale_pcs(&parent));
      for (unsigned k = 0; k < 7; ++k)
        assert_true(way_spelling_equal(way_scale_note(&mode, k),
                                       way_scale_note(&parent, (i + k) % 7)));
    }
  }
}

// Properties of every type: seven notes have seven letters, notes rise from the tonic,
// no two types have the same notes, each name finds its own row, and a transposed scale
// has transposed notes.
static void test_every_type(void** state) {
  (void)state;
  for (unsigned t = 0; t < way_scale_count(); ++t) {
    const WayScaleType* const type = way_scale_type(t);
    assert_ptr_equal(way_scale_find(way_text(type->name)), type);
    const WayScale s = way_scale_on((WaySpelling){0, 0}, type);
    unsigned letters = 0;
    int before = -1;
    for (unsigned i = 0; i < s.n; ++i) {
      letters |= 1u << way_scale_note(&s, i).letter;
      assert_true(way_degree_semitones(s.degrees[i]) > before);
      before = way_degree_semitones(s.degrees[i]);
    }
    assert_int_equal(s.degrees[0].number, 1);
    assert_true(before < 12);
    if (s.n == 7 && letters != 0x7F)
      fail_msg("%s: seven notes take seven letters", type->name);
    assert_ptr_equal(way_scale_of_set(way_scale_pcs(&s)), type);
    for (int f = -8; f <= 8; ++f) {
      const WaySpelling tonic = way_spelling_at_fifths(f);
      const WayScale moved = way_scale_on(tonic, type);
      assert_int_equal(way_scale_pcs(&moved),
                       way_pcs_move(way_scale_pcs(&s), way_spelling_pc(tonic)));
    }
  }
}

static void test_each_other_name_stands_for_one_type(void** state) {
  (void)state;
  for (unsigned t = 0; t < way_scale_count(); ++t) {
    const WayScaleType* const type = way_scale_type(t);
    for (const char* from = type->others; *from;) {
      const size_t n = strcspn(from, "|");
      if (way_scale_find((WayText){from, n}) != type)
        fail_msg("%.*s is not %s", (int)n, from, type->name);
      from += n + (from[n] == '|');
    }
  }
}

static void test_unknown_names(void** state) {
  (void)state;
  assert_null(way_scale_find(way_text("")));
  assert_null(way_scale_find(way_text("scale")));
  assert_null(way_scale_find(way_text("mode")));
  assert_null(way_scale_find(way_text("major minor")));
  assert_null(way_scale_type(way_scale_count()));
  assert_null(way_scale_of_set(0));
}

static void test_degree_of_a_written_note(void** state) {
  (void)state;
  static const struct {
    const char *tonic, *note, *degree;
  } cases[] = {{"C", "C", "1"},
               {"C", "Bbb", "bb7"},
               {"F#", "E#", "7"},
               {"Eb", "A", "#4"},
               {"G", "F##", "#7"}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    char text[16];
    WayOut out = way_out(text, sizeof(text));
    way_degree_write(way_scale_degree(a_note(cases[i].tonic), a_note(cases[i].note)),
                     &out);
    assert_string_equal(text, cases[i].degree);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_worked_scales),
      cmocka_unit_test(test_set_classes),
      cmocka_unit_test(test_modes_are_rotations),
      cmocka_unit_test(test_every_type),
      cmocka_unit_test(test_each_other_name_stands_for_one_type),
      cmocka_unit_test(test_unknown_names),
      cmocka_unit_test(test_degree_of_a_written_note),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
