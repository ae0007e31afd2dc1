#include "check.h"
#include "theory.h"
#include "theory/material.h"

// The worked examples of docs/theory.md, section "Materials".
static void test_chord_scales(void** state) {
  (void)state;
  static const struct {
    const char *key, *root, *tones, *bass, *notes, *type;
  } cases[] = {
      {"C", "C", "1 3 5 7", NULL, "C D E F G A B", "major"},
      {"C", "D", "1 b3 5 b7", NULL, "D E F G A B C", "dorian"},
      {"C", "G", "1 3 5 b7", NULL, "G A B C D E F", "mixolydian"},
      {"C", "B", "1 b3 b5 b7", NULL, "B C D E F G A", "locrian"},
      // secondary dominants
      {"C", "C", "1 3 5 b7", NULL, "C D E F G A Bb", "mixolydian"},
      {"C", "D", "1 3 5 b7", NULL, "D E F# G A B C", "mixolydian"},
      {"C", "E", "1 3 5 b7", NULL, "E F G# A B C D", "phrygian dominant"},
      {"C", "A", "1 3 5 b7", NULL, "A B C# D E F G", "mixolydian b6"},
      {"C", "B", "1 3 5 b7", NULL, "B C D# E F# G A", "phrygian dominant"},
      // diminished sevenths on raised notes, borrowed chords, altered dominants
      {"C", "C#", "1 b3 b5 bb7", NULL, "C# D E F G A Bb", "ultralocrian"},
      {"C", "F#", "1 b3 b5 bb7", NULL, "F# G A B C D Eb", "locrian bb7"},
      {"C", "F", "1 b3 5", NULL, "F G Ab B C D E", "lydian diminished"},
      {"C", "Bb", "1 3 5 b7", NULL, "Bb C D E F G Ab", "lydian dominant"},
      {"C", "G", "1 3 b7 b9 #9 #11 b13", NULL, "G Ab A# B C# Eb F", "altered"},
      {"C", "C", "1 3 5", "Bb", "C D E F G A Bb", "mixolydian"},
      {"C", "Db", "1 3 5 b7", NULL, "Db D E F G Ab Cb", "flamenco"},
      {"C", "Eb", "1 3 5 b7", NULL, "Eb F G A Bb C Db", "lydian dominant"},
      // minor keys: the dominant takes the raised seventh, nothing else does
      {"A minor", "A", "1 b3 5 b7", NULL, "A B C D E F G", "minor"},
      {"A minor", "E", "1 3 5 b7", NULL, "E F G# A B C D", "phrygian dominant"},
      {"A minor", "E", "1 b3 5 b7", NULL, "E F G A B C D", "phrygian"},
      {"A minor", "G#", "1 b3 b5 bb7", NULL, "G# A B C D E F", "ultralocrian"},
      {"A minor", "A", "1 b3 5 7", NULL, "A B C D E F G#", "harmonic minor"},
      {"A minor", "A", "1 b3 5 6", NULL, "A B C D E F# G", "dorian"},
      {"A minor", "C", "1 3 #5", NULL, "C D E F G# A B", "major augmented"},
      {"A minor", "D", "1 3 5 b7", NULL, "D E F# G A B C", "mixolydian"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayChord chord = a_chord(cases[i].root, cases[i].tones, cases[i].bass);
    const WayScale s = way_material_chord_scale(&chord, a_key(cases[i].key));
    char text[64];
    assert_string_equal(notes_of(&s, text), cases[i].notes);
    assert_non_null(s.type);
    assert_string_equal(s.type->name, cases[i].type);
  }
}

static void test_no_chord_takes_the_key(void** state) {
  (void)state;
  const WayChord none = way_chord_none();
  const WayKey key = a_key("D dorian");
  const WayScale s = way_material_chord_scale(&none, key);
  char text[64];
  assert_string_equal(notes_of(&s, text), "D E F G A B C");
  const WayLoopPcs loop = way_material_pcs_of_key(key);
  WayPcSet sets[WAY_MATERIAL_COUNT];
  way_material_sets(&none, &loop, way_scale_pcs(&s), sets);
  assert_int_equal(sets[WAY_MATERIAL_TRIAD], way_key_set(key));
  assert_int_equal(sets[WAY_MATERIAL_SEVENTH], way_key_set(key));
}

static const char* const chords[] = {
    "1 3 5",       "1 b3 5",     "1 b3 b5",    "1 3 #5",          "1 3 5 7",
    "1 3 5 b7",    "1 b3 5 b7",  "1 b3 b5 b7", "1 b3 b5 bb7",     "1 4 5",
    "1 2 5",       "1 3 5 6",    "1 b3 5 6",   "1 3 5 b7 9 13",   "1 3 5 b7 b9",
    "1 3 5 b7 #9", "1 b3 5 7",   "1 5",        "1 3 5 b7 #11 b9", "1 3 #5 b7",
    "1 3 b5 b7",   "1 3 5 7 #11"};

// Properties over all roots and keys: the scale holds the chord; it differs from the
// key's by no more than one note for each foreign chord tone; a chord of the key leaves
// the key's scale alone; and all of it moves with chord and key.
static void test_chord_scale_is_a_small_change(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(chords); ++i)
    for (int f = -5; f <= 6; ++f)
      for (int m = 0; m < WAY_MODE_COUNT; ++m) {
        const WayKey key = {{0, 0}, (WayMode)m};
        WayChord chord = a_chord("C", chords[i], NULL);
        chord.root = chord.bass = way_spelling_at_fifths(f);
        const WayPcSet tones = way_chord_pcs(&chord);
        const WayScale s = way_material_chord_scale(&chord, key);
        const WayPcSet pcs = way_scale_pcs(&s);
        assert_int_equal(way_material_chord_scale_pcs(&chord, key), pcs);
        const WayPcSet own = way_key_set(key);
        assert_int_equal(tones & ~pcs & WAY_PCS_ALL, 0);
        assert_int_equal(pcs & ~own & ~tones & WAY_PCS_ALL, 0);
        assert_true(way_pcs_count((WayPcSet)(own & ~pcs)) <=
                    way_pcs_count((WayPcSet)(tones & ~own)));
        assert_int_equal(s.degrees[0].number, 1);
        const WayKey moved = {{4, 0}, (WayMode)m}; // a fifth up
        chord.root = chord.bass = way_spelling_at_fifths(f + 1);
        const WayScale t = way_material_chord_scale(&chord, moved);
        assert_int_equal(way_scale_pcs(&t), way_pcs_move(pcs, 7));
        assert_memory_equal(t.degrees, s.degrees, sizeof(s.degrees));
      }
}

static void test_triads_and_sevenths(void** state) {
  (void)state;
  static const struct {
    const char* tones;
    WayPcSet triad, seventh;
  } cases[] = {{"1 3 5 b7 9", 0x091, 0x491},
               {"1 4 5 b7", 0x0A1, 0x4A1},
               {"1 3 5 6", 0x091, 0x291},
               {"1 5", 0x081, 0x081},
               {"1 b3 b5 bb7", 0x049, 0x249}};
  const WayLoopPcs loop = way_material_pcs_of_key(a_key("C"));
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayChord c = a_chord("C", cases[i].tones, NULL);
    WayPcSet sets[WAY_MATERIAL_COUNT];
    way_material_sets(&c, &loop, 0, sets);
    assert_int_equal(sets[WAY_MATERIAL_TRIAD], cases[i].triad);
    assert_int_equal(sets[WAY_MATERIAL_SEVENTH], cases[i].seventh);
  }
}

static void test_scales_of_a_key(void** state) {
  (void)state;
  static const char* const cases[][4] = {
      {"D", "D E F# A B", "D E F F# A B", "D E F# G A B C#"},
      {"A minor", "A C D E G", "A C D Eb E G", "A B C D E F G"},
      {"G mixolydian", "G A B D E", "G A Bb B D E", "G A B C D E F"},
      {"E phrygian", "E G A B D", "E G A Bb B D", "E F G A B C D"}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayLoopScales loop = way_material_of_key(a_key(cases[i][0]));
    char text[64];
    assert_string_equal(notes_of(&loop.pentatonic, text), cases[i][1]);
    assert_string_equal(notes_of(&loop.blues, text), cases[i][2]);
    assert_string_equal(notes_of(&loop.parent, text), cases[i][3]);
  }
}

// Without writing the scales, the same notes in every key.
static void test_pitch_classes_of_a_key(void** state) {
  (void)state;
  for (int fifths = -7; fifths <= 7; ++fifths)
    for (int mode = 0; mode < WAY_MODE_COUNT; ++mode) {
      const WayKey key = {way_spelling_at_fifths(fifths), (WayMode)mode};
      const WayLoopScales loop = way_material_of_key(key);
      const WayLoopPcs written = way_material_pcs(&loop);
      const WayLoopPcs pcs = way_material_pcs_of_key(key);
      assert_int_equal(pcs.pentatonic, written.pentatonic);
      assert_int_equal(pcs.blues, written.blues);
      assert_int_equal(pcs.parent, written.parent);
    }
}

static void test_every_material_has_a_name(void** state) {
  (void)state;
  for (int m = 0; m < WAY_MATERIAL_COUNT; ++m)
    assert_string_not_equal(way_material_name((WayMaterial)m), "");
  assert_string_equal(way_material_name(WAY_MATERIAL_COUNT), "");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_chord_scales),
      cmocka_unit_test(test_no_chord_takes_the_key),
      cmocka_unit_test(test_chord_scale_is_a_small_change),
      cmocka_unit_test(test_triads_and_sevenths),
      cmocka_unit_test(test_scales_of_a_key),
      cmocka_unit_test(test_pitch_classes_of_a_key),
      cmocka_unit_test(test_every_material_has_a_name),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
