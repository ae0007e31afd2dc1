#include "chords.h"
#include "take/backing_chords.h"

static const WayKey key = {{0, 0}, WAY_MODE_MAJOR};

static void test_the_bass_is_lowest_and_all_tones_are_there(void** state) {
  (void)state;
  const WayChord c = chord_named("D/F#");
  WayBlockEar ear = {0};
  const WayBlock b = way_block_of(&c, &key, &ear);
  assert_int_equal(b.n, 3);
  assert_int_equal(b.key[0], 42);
  assert_int_equal(b.key[1], 50);
  assert_int_equal(b.key[2], 57);
  assert_true(way_block_alike(&ear.alone.chord, &c));
  assert_true(way_block_alike(&ear.by_key.chord, &c));
}

static void test_silence(void** state) {
  (void)state;
  const WayChord none = way_chord_none();
  WayBlockEar ear = {0};
  assert_int_equal(way_block_of(&none, &key, &ear).n, 0);
}

static void test_chords_are_heard_as_they_are_written_on_every_root(void** state) {
  (void)state;
  static const char* const kinds[] = {
      "",     "m",    "7",     "maj7", "m7",      "m7b5",  "dim", "dim7", "+",
      "sus4", "sus2", "7sus4", "6",    "m6",      "mMaj7", "9",   "maj9", "m9",
      "13",   "7b9",  "7#9",   "7#11", "maj7#11", "add9",  "5",   "7#5",  "6/9"};
  static const char* const roots[] = {"C",  "Db", "D",  "Eb", "E",  "F",
                                      "F#", "G",  "Ab", "A",  "Bb", "B"};
  WayBlockEar ear = {0};
  for (size_t k = 0; k < WAY_COUNT(kinds); ++k)
    for (size_t r = 0; r < WAY_COUNT(roots); ++r) {
      char symbol[32];
      WayOut out = way_out(symbol, sizeof(symbol));
      way_out_str(&out, roots[r]);
      way_out_str(&out, kinds[k]);
      const WayChord c = chord_named(symbol);
      way_block_of(&c, &key, &ear);
      if (!way_block_alike(&ear.alone.chord, &c)) fail_msg("%s is not heard", symbol);
      if (!way_block_alike(&ear.by_key.chord, &c))
        fail_msg("%s is not heard in C major", symbol);
    }
}

static void test_alike(void** state) {
  (void)state;
  const WayChord a = chord_named("F#7"), b = chord_named("Gb7"),
                 c = chord_named("F#7/E"), d = chord_named("C6"),
                 e = chord_named("Am7/C");
  assert_true(way_block_alike(&a, &b));
  assert_false(way_block_alike(&a, &c));
  assert_false(way_block_alike(&d, &e));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_bass_is_lowest_and_all_tones_are_there),
      cmocka_unit_test(test_silence),
      cmocka_unit_test(test_chords_are_heard_as_they_are_written_on_every_root),
      cmocka_unit_test(test_alike),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
