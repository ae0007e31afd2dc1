#include "theory/numeral_write.h"

#include "chords.h"
#include "theory/chord_write.h"
#include "theory/numeral_read.h"

// The rules of docs/theory.md, section "Numerals", "Which name a chord gets".
static const struct {
  const char *key, *chord, *next, *numeral;
} writings[] = {
    {"C", "C", NULL, "I"},
    {"C", "C/G", "G7", "I64"},
    {"C", "Cmaj7", NULL, "Imaj7"},
    {"C", "C7", NULL, "I7"},
    {"C", "C7", "F", "V7/IV"},
    {"C", "C7", "F7", "I7"}, // the step of the blues: common practice, no source
    {"C", "Dm7", NULL, "ii7"},
    {"C", "D7", NULL, "V7/V"},
    {"C", "D7", "Dm7", "V7/V"},
    {"C", "E7", "Am", "V7/vi"},
    {"C", "E", "Am", "V/vi"},
    {"C", "F", NULL, "IV"},
    {"C", "Fm6", "C", "ivadd6"},
    {"C", "F7", "C7", "IV7"},
    {"C", "G13", "C", "V13"},
    {"C", "G7/B", "C", "V65"},
    {"C", "Gm7", NULL, "v7"},
    {"C", "Gm7", "C7", "ii7/IV"},
    {"C", "Em7b5", "A7", "ii\u00F87/ii"},
    {"C", "Em7", "A7", "iii7"},
    {"Am", "Gm7", "C7", "ii7/VI"},
    {"C", "Ab7", "G7", "subV7/V"},
    {"C", "Db7", "C", "subV7"},
    {"C", "Bb7", "C", "bVII7"},
    {"C", "Bb", "F", "bVII"},
    {"C", "C#dim7", "Dm", "viio7/ii"},
    {"C", "Ebdim7", "Dm7", "biiio7"},
    {"C", "Bm7b5", "C", "vii\u00F87"},
    {"C", "F/G", "C", "IV/2"},
    {"Am", "Am", NULL, "i"},
    {"Am", "F", NULL, "VI"},
    {"Am", "E7", "Am", "V7"},
    {"Am", "G", "F", "VII"},
    {"Am", "G7", "C", "V7/III"},
    {"Am", "G#dim7", "Am", "viio7"},
    {"Am", "Bm7b5", "E7", "ii\u00F87"},
    {"Am", "B7", "E7", "V7/V"},
    {"Am", "E9", "Am", "V7add9"},
    {"D dorian", "C", "Dm", "bVII"},
    {"C", "N.C.", "C", "N.C."},
};

static void test_chords_get_their_numeral(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(writings); ++i) {
    const WayChord chord = chord_named(writings[i].chord);
    WayChord next = way_chord_none();
    if (writings[i].next) next = chord_named(writings[i].next);
    char numeral[WAY_NUMERAL_MAX];
    WayOut out = way_out(numeral, sizeof(numeral));
    way_numeral_write(&chord, writings[i].next ? &next : NULL, a_key(writings[i].key),
                      &out);
    if (strcmp(numeral, writings[i].numeral) != 0)
      fail_msg("%s in %s: %s", writings[i].chord, writings[i].key, numeral);
  }
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

// Property: a chord and its key moved together keep their numeral.
static void test_transposition_keeps_the_numeral(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 20000; ++seed) {
    const Moved m = draw_moved(seed);
    char a[WAY_NUMERAL_MAX], b[WAY_NUMERAL_MAX];
    WayOut out = way_out(a, sizeof(a));
    way_numeral_write(&m.chord, NULL, m.key, &out);
    out = way_out(b, sizeof(b));
    way_numeral_write(&m.moved_chord, NULL, m.moved_key, &out);
    if (strcmp(a, b) != 0) fail_msg("seed %u: %s became %s", seed, a, b);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_chords_get_their_numeral),
      cmocka_unit_test(test_what_is_written_reads_back),
      cmocka_unit_test(test_transposition_keeps_the_numeral),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
