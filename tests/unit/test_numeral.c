#include "theory/numeral.h"

#include "check.h"
#include "rng.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"

static WayKey key_of(const char* text) {
  WayKey key;
  assert_int_equal(way_key_read(way_text(text), &key, NULL), WAY_OK);
  return key;
}

static WayChord chord_of(const char* symbol) {
  WayChord c;
  WayError e = {0};
  if (way_chord_read(way_text(symbol), &c, &e)) fail_msg("%s: %s", symbol, e.message);
  return c;
}

static WayChord numeral_in(const char* numeral, const char* key) {
  WayChord c;
  WayError e = {0};
  if (way_numeral_read(way_text(numeral), key_of(key), &c, &e))
    fail_msg("%s in %s: %s", numeral, key, e.message);
  return c;
}

/// A chord's tones by name, the bass in front.
static void spell(const WayChord* c, char* buffer, size_t room) {
  WayOut out = way_out(buffer, room);
  way_spelling_write(c->bass, &out);
  way_out_str(&out, ":");
  for (uint8_t i = 0; i < c->n_tones; ++i) {
    way_out_char(&out, ' ');
    way_spelling_write(way_spelling_above(c->root, c->tones[i]), &out);
  }
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
    {"C", "N6", "F: Db F Ab"},
    {"C", "bII6", "F: Db F Ab"},
    {"C", "It6", "Ab: Ab C F#"},
    {"C", "Fr43", "Ab: Ab C F# D"},
    {"C", "Ger65", "Ab: Ab C Eb F#"},
    {"a", "Ger65", "F: F A C D#"},
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
    spell(&c, tones, sizeof(tones));
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

static const struct {
  const char *key, *chord, *next, *numeral;
  WayFunction function;
} writings[] = {
    {"C", "C", NULL, "I", WAY_FUNCTION_TONIC},
    {"C", "C/G", "G7", "I64", WAY_FUNCTION_DOMINANT},
    {"C", "Cmaj7", NULL, "Imaj7", WAY_FUNCTION_TONIC},
    {"C", "C7", NULL, "I7", WAY_FUNCTION_TONIC},
    {"C", "C7", "F", "V7/IV", WAY_FUNCTION_DOMINANT},
    {"C", "C7", "F7", "I7",
     WAY_FUNCTION_TONIC}, // the step of the blues: common practice, no source
    {"C", "Dm7", NULL, "ii7", WAY_FUNCTION_PREDOMINANT},
    {"C", "D7", NULL, "V7/V", WAY_FUNCTION_DOMINANT},
    {"C", "D7", "Dm7", "V7/V", WAY_FUNCTION_DOMINANT},
    {"C", "E7", "Am", "V7/vi", WAY_FUNCTION_DOMINANT},
    {"C", "E", "Am", "V/vi", WAY_FUNCTION_DOMINANT},
    {"C", "F", NULL, "IV", WAY_FUNCTION_PREDOMINANT},
    {"C", "Fm6", "C", "ivadd6", WAY_FUNCTION_PREDOMINANT},
    {"C", "F7", "C7", "IV7", WAY_FUNCTION_PREDOMINANT},
    {"C", "G13", "C", "V13", WAY_FUNCTION_DOMINANT},
    {"C", "G7/B", "C", "V65", WAY_FUNCTION_DOMINANT},
    {"C", "Gm7", NULL, "v7", WAY_FUNCTION_DOMINANT},
    {"C", "Gm7", "C7", "ii7/IV", WAY_FUNCTION_PREDOMINANT},
    {"C", "Em7b5", "A7", "ii\u00F87/ii", WAY_FUNCTION_PREDOMINANT},
    {"C", "Em7", "A7", "iii7", WAY_FUNCTION_TONIC},
    {"Am", "Gm7", "C7", "ii7/VI", WAY_FUNCTION_PREDOMINANT},
    {"C", "Ab7", "G7", "subV7/V", WAY_FUNCTION_DOMINANT},
    {"C", "Db7", "C", "subV7", WAY_FUNCTION_DOMINANT},
    {"C", "Bb7", "C", "bVII7", WAY_FUNCTION_DOMINANT},
    {"C", "Bb", "F", "bVII", WAY_FUNCTION_PREDOMINANT},
    {"C", "C#dim7", "Dm", "viio7/ii", WAY_FUNCTION_DOMINANT},
    {"C", "Ebdim7", "Dm7", "biiio7", WAY_FUNCTION_NONE},
    {"C", "Bm7b5", "C", "vii\u00F87", WAY_FUNCTION_DOMINANT},
    {"C", "F/G", "C", "IV/2", WAY_FUNCTION_PREDOMINANT},
    {"Am", "Am", NULL, "i", WAY_FUNCTION_TONIC},
    {"Am", "F", NULL, "VI", WAY_FUNCTION_PREDOMINANT},
    {"Am", "E7", "Am", "V7", WAY_FUNCTION_DOMINANT},
    {"Am", "G", "F", "VII", WAY_FUNCTION_PREDOMINANT},
    {"Am", "G7", "C", "V7/III", WAY_FUNCTION_DOMINANT},
    {"Am", "G#dim7", "Am", "viio7", WAY_FUNCTION_DOMINANT},
    {"Am", "Bm7b5", "E7", "ii\u00F87", WAY_FUNCTION_PREDOMINANT},
    {"Am", "B7", "E7", "V7/V", WAY_FUNCTION_DOMINANT},
    {"Am", "E9", "Am", "V7add9", WAY_FUNCTION_DOMINANT},
    {"D dorian", "C", "Dm", "bVII", WAY_FUNCTION_PREDOMINANT},
    {"C", "N.C.", "C", "N.C.", WAY_FUNCTION_NONE},
};

static void test_chords_get_their_numeral_and_function(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(writings); ++i) {
    const WayKey key = key_of(writings[i].key);
    const WayChord chord = chord_of(writings[i].chord);
    WayChord next = way_chord_none();
    if (writings[i].next) next = chord_of(writings[i].next);
    const WayChord* const after = writings[i].next ? &next : NULL;
    char numeral[WAY_NUMERAL_MAX];
    WayOut out = way_out(numeral, sizeof(numeral));
    way_numeral_write(&chord, after, key, &out);
    const WayFunction f = way_numeral_function(&chord, after, key);
    if (strcmp(numeral, writings[i].numeral) != 0 || f != writings[i].function)
      fail_msg("%s in %s: %s %s", writings[i].chord, writings[i].key, numeral,
               way_function_name(f));
  }
}

static const char* const suffixes[] = {
    "",      "m",    "dim",      "aug",     "5",      "sus4",  "sus2",    "6",
    "m6",    "6/9",  "m6/9",     "7",       "maj7",   "m7",    "mMaj7",   "m7b5",
    "dim7",  "7#5",  "maj7#5",   "7b5",     "7sus4",  "add9",  "madd9",   "9",
    "maj9",  "m9",   "7b9",      "7#9",     "7b9#5",  "7#11",  "maj7#11", "11",
    "m11",   "13",   "m13",      "maj13",   "7b13",   "13b9",  "9sus4",   "13sus4",
    "7alt",  "b5",   "maj7b5",   "9#11",    "m9b5",   "6b5",   "6#11",    "6/9#11",
    "6sus4", "m6b5", "maj9#11",  "7b9b13",  "madd11", "7#5#9", "6no5",    "dimMaj7",
    "add11", "7no3", "maj7sus4", "m7add11", "13#11",  "7b5b9", "m9Maj7",  "7sus4b9",
    "sus24"};

/// Draw a chord: any common quality on any root within a few fifths, any bass.
static WayChord draw_chord(uint32_t* rng) {
  const char* const suffix = suffixes[rng_below(rng, WAY_COUNT(suffixes))];
  char symbol[WAY_SYMBOL_MAX];
  WayOut out = way_out(symbol, sizeof(symbol));
  way_spelling_write((WaySpelling){0, 0}, &out);
  if (suffix[0] == 'b') {
    way_out_char(&out, '(');
    way_out_str(&out, suffix);
    way_out_char(&out, ')');
  } else {
    way_out_str(&out, suffix);
  }
  WayChord c = chord_of(symbol);
  const WaySpelling root = way_spelling_at_fifths((int)rng_below(rng, 19) - 9);
  c = way_chord_transposed(&c, (WaySpelling){0, 0}, root);
  const uint32_t bass = rng_below(rng, 8);
  if (bass < c.n_tones) c.bass = way_spelling_above(root, c.tones[bass]);
  if (bass == 7) c.bass = way_spelling_at_fifths((int)rng_below(rng, 19) - 9);
  return c;
}

static WayKey draw_key(uint32_t* rng) {
  WayKey key;
  key.mode = (WayMode)rng_below(rng, WAY_MODE_COUNT);
  key.tonic = way_spelling_at_fifths((int)rng_below(rng, 15) - 7);
  return key;
}

// Property: whatever follows, a chord's numeral reads as that chord.
static void test_what_is_written_reads_back(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 200000; ++seed) {
    uint32_t rng = seed;
    const WayKey key = draw_key(&rng);
    const WayChord chord = draw_chord(&rng);
    const WayChord next = draw_chord(&rng);
    char numeral[WAY_NUMERAL_MAX], symbol[WAY_SYMBOL_MAX];
    WayOut out = way_out(numeral, sizeof(numeral));
    way_numeral_write(&chord, seed % 2 ? &next : NULL, key, &out);
    WayChord back = way_chord_none();
    const WayStatus st = way_numeral_read(way_text(numeral), key, &back, NULL);
    if (!st && way_chord_equal(&chord, &back)) continue;
    out = way_out(symbol, sizeof(symbol));
    way_chord_write(&chord, &out);
    fail_msg("seed %u: %s is written %s, which reads as another chord", seed, symbol,
             numeral);
  }
}

// Property: a chord and its key moved together keep numeral and function.
static void test_transposition_changes_nothing(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 20000; ++seed) {
    uint32_t rng = seed;
    const WayKey key = draw_key(&rng);
    const WayChord chord = draw_chord(&rng);
    const WaySpelling to = way_spelling_at_fifths((int)rng_below(&rng, 9) - 4);
    const WayKey moved_key = {to, key.mode};
    const WayChord moved = way_chord_transposed(&chord, key.tonic, to);
    char a[WAY_NUMERAL_MAX], b[WAY_NUMERAL_MAX];
    WayOut out = way_out(a, sizeof(a));
    way_numeral_write(&chord, NULL, key, &out);
    out = way_out(b, sizeof(b));
    way_numeral_write(&moved, NULL, moved_key, &out);
    if (strcmp(a, b) != 0) fail_msg("seed %u: %s became %s", seed, a, b);
    assert_int_equal(way_numeral_function(&chord, NULL, key),
                     way_numeral_function(&moved, NULL, moved_key));
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
    WayChord c = chord_of("C");
    const WayChord before = c;
    const WayStatus st =
        way_numeral_read(way_text(bad[i].numeral), key_of("C"), &c, &e);
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
    assert_int_not_equal(way_numeral_read(endless, key_of("C"), &c, &e), WAY_OK);
    assert_true(e.column > 0 && e.message[0]);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_numerals_mean_their_tones),
      cmocka_unit_test(test_chords_get_their_numeral_and_function),
      cmocka_unit_test(test_what_is_written_reads_back),
      cmocka_unit_test(test_transposition_changes_nothing),
      cmocka_unit_test(test_errors_have_their_place),
      cmocka_unit_test(test_endless_texts_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
