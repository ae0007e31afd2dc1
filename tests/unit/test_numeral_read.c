#include "theory/numeral_read.h"

#include "chords.h"
#include "theory/chord_write.h"

static WayChord numeral_in(const char* numeral, const char* key) {
  WayChord c;
  WayError e = {0};
  if (way_numeral_read(way_text(numeral), a_key(key), &c, &e))
    fail_msg("%s in %s: %s", numeral, key, e.message);
  return c;
}

// Figured analysis as in Open Music Theory, version 2 (chapters "Roman Numerals and
// SATB Chord Construction", "Inversion and Figured Bass", "Tonicization", "Augmented
// Sixth Chords", "Neapolitan 6th"), values from memory; the spellings follow from the
// definitions.
static const struct {
  const char *key, *numeral, *tones;
} readings[] = {
    {"C", "I", "C: C E G"},
    {"C", "ii7", "D: D F A C"},
    {"C", "V65", "B: G B D F"},
    {"C", "V6/5", "B: G B D F"},
    {"C", "V43", "D: G B D F"},
    {"C", "V42", "F: G B D F"},
    {"C", "V2", "F: G B D F"},
    {"C", "I64", "G: C E G"},
    {"C", "i64", "G: C Eb G"},
    {"C", "Cad64", "G: C E G"},
    {"a", "Cad64", "E: A C E"},
    {"C", "IV+", "F: F A C#"},
    {"C", "viio6", "D: B D F"},
    {"C", "vii\u00B07", "B: B D F Ab"},
    {"C", "vii/o65", "D: B D F A"},
    {"C", "vii%43", "F: B D F A"},
    {"C", "ii\u00F87", "D: D F Ab C"},
    {"C", "V7/V", "D: D F# A C"},
    {"C", "V7/ii", "A: A C# E G"},
    {"C", "V/V/V", "A: A C# E"},
    {"C", "viio7/V", "F#: F# A C Eb"},
    {"C", "viio43/ii", "G: C# E G Bb"},
    {"C", "IV/bIII", "Ab: Ab C Eb"},
    {"C", "bVII", "Bb: Bb D F"},
    {"C", "#ivo7", "F#: F# A C Eb"},
    {"C", "bII6", "F: Db F Ab"},
    {"C", "Ger65/V", "Eb: Eb G Bb C#"},
    {"C", "V9", "G: G B D F A"},
    {"C", "V7[b9]", "G: G B D F Ab"},
    {"C", "V[no3]", "G: G D"},
    {"C", "I[add9]", "C: C E G D"},
    {"C", "I54", "C: C F G"},
    {"a", "VI", "F: F A C"},
    {"a", "bVI", "F: F A C"},
    {"a", "VII", "G: G B D"},
    {"a", "bVII", "G: G B D"},
    {"a", "III+", "C: C E G#"},
    {"a", "viio7", "G#: G# B D F"},
    {"a", "#viio7", "G#: G# B D F"},
    {"a", "vi", "F#: F# A C#"},
    {"a", "#vio7", "F#: F# A C Eb"},
    {"a", "#VI", "F#: F# A# C#"},
    {"a", "V7", "E: E G# B D"},
    {"a", "v", "E: E G B"},
    {"a", "ii\u00F87", "B: B D F A"},
    {"f#", "V9", "C#: C# E# G# B D"},
    {"a", "V65/VI", "E: C E G Bb"},
    {"c#", "viio7", "B#: B# D# F# A"},
    // DCML harmony annotation standard (github.com/DCMLab/standards, guidelines).
    {"C", "V(64)", "G: G C E"},
    {"C", "V65(4)", "C: G C D F"},
    {"C", "V2(4)", "F: G C D F"},
    {"C", "viio6(2)", "D: D F C"},
    {"C", "IV6(+2)", "A: F A C G"},
    {"C", "V7(b6)", "G: G B F Eb"},
    {"a", "i(9#74)", "G#: D E G# B"},
    {"C", "IVM65", "A: F A C E"},
    {"c", "#viio65/#vi", "B: G# B D F"},
    {"a", "V7(9)", "E: E G# B D F"},
    // Spellings of the same in use elsewhere.
    {"c", "viio6#4", "F: B D F"},
    {"c", "V6b5", "B: G B D F"},
    {"C", "V6/4/2", "F: G B D F"},
    {"C", "V6/5/3/V", "F#: D F# A C"},
    {"C", "Fr4/3", "Ab: Ab C F# D"},
    {"C", "Cad6/4", "G: C E G"},
    {"C", "V\u2076\u2085", "B: G B D F"},
    {"C", "Ger\u2076\u2085", "Ab: Ab C Eb F#"},
    {"C", "vii\u2205\u2074\u2083", "F: B D F A"},
    {"C", "vii07", "B: B D F Ab"},
    {"C", "Imaj6/5", "E: C E G B"},
    {"C", "IVd7", "F: F A C Eb"},
    {"C", "V7(b9)", "G: G B D F Ab"},
    {"C", "II-7", "D: D F A C"},
    // The decisions of the project's manual, docs/theory.md.
    {"C", "I7", "C: C E G Bb"},
    {"C", "IV7", "F: F A C Eb"},
    {"C", "Imaj7", "C: C E G B"},
    {"C", "IM42", "B: C E G B"},
    {"C", "imaj7", "C: C Eb G B"},
    {"C", "subV7", "Db: Db F Ab Cb"},
    {"C", "subV7/ii", "Eb: Eb G Bb Db"},
    {"C", "IV/2", "G: F A C"},
    {"C", "V7/b7", "F: G B D F"},
    {"C", "I/Bb", "Bb: C E G"},
    {"C", "Iadd6", "C: C E G A"},
    {"D dorian", "bVII", "C: C E G"},
    {"D dorian", "VII", "C: C E G"},
};

static void test_numerals_mean_their_tones(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(readings); ++i) {
    char tones[128];
    const WayChord c = numeral_in(readings[i].numeral, readings[i].key);
    spell_chord(&c, tones, sizeof(tones));
    if (strcmp(tones, readings[i].tones) != 0)
      fail_msg("%s in %s: %s, expected %s", readings[i].numeral, readings[i].key, tones,
               readings[i].tones);
    char symbol[WAY_SYMBOL_MAX];
    WayOut out = way_out(symbol, sizeof(symbol));
    way_chord_write(&c, &out);
    WayChord back = way_chord_none();
    if (way_chord_read(way_text(symbol), &back, NULL) || !way_chord_equal(&c, &back))
      fail_msg("%s in %s is written %s, which is another chord", readings[i].numeral,
               readings[i].key, symbol);
  }
}

static void test_errors_have_their_place(void** state) {
  (void)state;
  static const struct {
    const char* numeral;
    uint32_t column;
  } bad[] = {{"", 1},
             {"H", 1},
             {"Xv", 1},
             {"V7/", 4},
             {"/V", 1},
             {"V//V", 3},
             {"V7/x", 4},
             {"V7[no", 3},
             {"V7[x]", 4},
             {"V7]", 3},
             {"I/9999", 3},
             {"#", 1},

             {"I[no1][no3][no5]", 13},
             {"V7/V/V/V/V/V/V/V/V", 18},
             {"V/\u266D", 3}};
  for (size_t i = 0; i < WAY_COUNT(bad); ++i) {
    WayError e = {0};
    WayChord c = chord_named("C");
    const WayChord before = c;
    const WayStatus st = way_numeral_read(way_text(bad[i].numeral), a_key("C"), &c, &e);
    if (!st || e.column != bad[i].column || !e.message[0])
      fail_msg("'%s': status %d, column %u, %s", bad[i].numeral, (int)st, e.column,
               e.message);
    assert_true(way_chord_equal(&c, &before));
  }
}

// However long the text, it is refused in little memory.
static void test_endless_texts_are_refused(void** state) {
  (void)state;
  static const char* const parts[] = {"V/", "4/2/", "6/4/", "bb", "[", "(+4)", "/o"};
  static char text[1 << 20];
  for (size_t i = 0; i < WAY_COUNT(parts); ++i) {
    const size_t n = strlen(parts[i]);
    for (size_t at = 0; at < sizeof(text); ++at) text[at] = parts[i][at % n];
    WayChord c;
    WayError e = {0};
    const WayText endless = {text, sizeof(text)};
    assert_int_not_equal(way_numeral_read(endless, a_key("C"), &c, &e), WAY_OK);
    assert_true(e.column > 0 && e.message[0]);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_numerals_mean_their_tones),
      cmocka_unit_test(test_errors_have_their_place),
      cmocka_unit_test(test_endless_texts_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
