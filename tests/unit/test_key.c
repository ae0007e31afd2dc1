#include "check.h"
#include "theory.h"
#include "theory/key.h"

// Key signatures as on any circle of fifths (common practice, no source).
static void test_signatures(void** state) {
  (void)state;
  static const struct {
    const char* key;
    int signature;
  } cases[] = {{"C", 0},           {"G", 1},         {"F", -1},       {"F#", 6},
               {"Gb", -6},         {"Cb", -7},       {"a", 0},        {"e", 1},
               {"d", -1},          {"Bb minor", -5}, {"G# minor", 5}, {"D dorian", 0},
               {"E phrygian", 0},  {"F lydian", 0},  {"G mix", 0},    {"B locrian", 0},
               {"D mixolydian", 1}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_int_equal(way_key_signature(a_key(cases[i].key)), cases[i].signature);
}

static void test_many_ways_to_write_a_key(void** state) {
  (void)state;
  static const char* const cases[][2] = {
      {"D", "D major"},       {"D major", "D major"},   {"F# minor", "F# minor"},
      {"Bbm", "Bb minor"},    {"D dorian", "D dorian"}, {"a", "A minor"},
      {"bb", "Bb minor"},     {"b", "B minor"},         {"CM", "C major"},
      {"c MAJOR", "C major"}, {"Emin", "E minor"},      {"B\u266D maj", "Bb major"},
      {" A - ", "A minor"},   {"Ab ionian", "Ab major"}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    char text[32];
    WayOut out = way_out(text, sizeof(text));
    way_key_write(a_key(cases[i][0]), &out);
    assert_string_equal(text, cases[i][1]);
  }
}

static void test_bad_keys_say_where(void** state) {
  (void)state;
  static const struct {
    const char* text;
    unsigned column;
  } cases[] = {{"", 1}, {"H", 1}, {"C mayor", 3}, {"Bbb#x minor", 4}, {"C major x", 3}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayKey key = a_key("E");
    WayError e = {0};
    assert_int_equal(way_key_read(way_text(cases[i].text), &key, &e), WAY_ERR_SYNTAX);
    assert_int_equal(e.column, cases[i].column);
    assert_true(e.message[0]);
    assert_int_equal(key.tonic.letter, 2);
  }
}

static void test_reading_what_was_written_gives_the_same_key(void** state) {
  (void)state;
  for (int fifths = -15; fifths <= 19; ++fifths)
    for (int m = 0; m < WAY_MODE_COUNT; ++m) {
      const WayKey key = {way_spelling_at_fifths(fifths), (WayMode)m};
      char text[32];
      WayOut out = way_out(text, sizeof(text));
      way_key_write(key, &out);
      const WayKey back = a_key(text);
      assert_true(way_key_equal(back, key));
    }
}

static void test_keys_that_sound_alike_are_not_equal(void** state) {
  (void)state;
  assert_true(way_key_equal(a_key("Gb"), a_key("Gb major")));
  assert_false(way_key_equal(a_key("Gb"), a_key("F#")));
  assert_false(way_key_equal(a_key("C"), a_key("A minor")));
  assert_false(way_key_equal(a_key("A"), a_key("A minor")));
}

static void test_spelling(void** state) {
  (void)state;
  static const char* const cases[][2] = {
      {"C", "C C# D Eb E F F# G Ab A Bb B"},
      {"F", "C Db D Eb E F F# G Ab A Bb B"},
      {"A minor", "C C# D Eb E F F# G G# A Bb B"},
      {"C minor", "C Db D Eb E F Gb G Ab A Bb B"},
      {"E phrygian", "C C# D Eb E F F# G G# A Bb B"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    char text[64];
    WayOut out = way_out(text, sizeof(text));
    for (WayPc pc = 0; pc < 12; ++pc) {
      if (pc) way_out_char(&out, ' ');
      way_spelling_write(way_key_spell(a_key(cases[i][0]), pc), &out);
    }
    assert_string_equal(text, cases[i][1]);
  }
}

// Properties: the spelling sounds as asked, the key's own seven notes have seven
// letters, and what a fifth higher is asked in a key a fifth higher is spelled so.
static void test_spelling_moves_with_the_key(void** state) {
  (void)state;
  for (int fifths = -12; fifths <= 12; ++fifths)
    for (int m = 0; m < WAY_MODE_COUNT; ++m) {
      const WayKey key = {way_spelling_at_fifths(fifths), (WayMode)m};
      const WayKey next = {way_spelling_at_fifths(fifths + 1), (WayMode)m};
      unsigned letters = 0;
      for (WayPc pc = 0; pc < 12; ++pc) {
        const WaySpelling s = way_key_spell(key, pc);
        assert_int_equal(way_spelling_pc(s), pc);
        assert_int_equal(way_spelling_fifths(way_key_spell(next, way_pc(pc + 7))),
                         way_spelling_fifths(s) + 1);
        if (way_pcs_has(way_key_set(key), pc)) letters |= 1u << s.letter;
      }
      assert_int_equal(letters, 0x7F);
    }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_signatures),
      cmocka_unit_test(test_many_ways_to_write_a_key),
      cmocka_unit_test(test_bad_keys_say_where),
      cmocka_unit_test(test_reading_what_was_written_gives_the_same_key),
      cmocka_unit_test(test_keys_that_sound_alike_are_not_equal),
      cmocka_unit_test(test_spelling),
      cmocka_unit_test(test_spelling_moves_with_the_key),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
