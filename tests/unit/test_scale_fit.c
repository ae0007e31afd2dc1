#include "check.h"
#include "rng.h"
#include "theory.h"
#include "theory/chord_read.h"
#include "theory/scale_fit.h"

static WayScaleFit fits[WAY_SCALE_FITS_MAX];

static size_t read(const char* symbols, WayChord* out) {
  size_t n = 0;
  while (*symbols) {
    const size_t size = strcspn(symbols, " ");
    assert_int_equal(way_chord_read((WayText){symbols, size}, &out[n++], NULL), WAY_OK);
    symbols += size + (symbols[size] == ' ');
  }
  return n;
}

static void test_best_scale(void** state) {
  (void)state;
  static const struct {
    const char *chords, *scale, *reason;
  } cases[] = {
      {"Am7 D7 Gmaj7", "G major",
       "adds nothing; on the root of the last chord; D7 leads to it"},
      {"Dm7 G7", "C major", "adds E; G7 leads to it"},
      {"Dm7 G7 Am", "C major", "adds nothing; G7 leads to it"},
      {"Dm7b5 G7 Cm", "C harmonic minor",
       "adds nothing; on the root of the last chord; G7 leads to it"},
      {"C7", "C mixolydian", "adds D F A; on the root of the first and last chord"},
      {"Am F C G", "A minor", "adds nothing; on the root of the first chord"},
      {"F#m7b5 B7 Em", "E harmonic minor",
       "adds nothing; on the root of the last chord; B7 leads to it"},
      {"Ebm7 Ab7 Dbmaj7", "Db major",
       "adds nothing; on the root of the last chord; Ab7 leads to it"},
      {"G7alt", "G altered", "adds nothing; on the root of the first and last chord"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChord chords[8];
    assert_true(way_scale_fit(chords, read(cases[i].chords, chords), fits, 1) == 1);
    char text[128];
    WayOut out = way_out(text, sizeof(text));
    way_spelling_write(fits[0].scale.tonic, &out);
    way_out_char(&out, ' ');
    way_out_str(&out, fits[0].scale.type->name);
    assert_string_equal(text, cases[i].scale);
    out = way_out(text, sizeof(text));
    way_scale_fit_write(&fits[0], &out);
    assert_string_equal(text, cases[i].reason);
  }
}

// Properties: every result holds the chords, no two have the same notes, nothing that
// holds them is left out, and a short list is the head of a long one.
static void test_all_scales_that_hold_the_chords(void** state) {
  (void)state;
  static const char* const kinds[] = {"1 3 5", "1 b3 5", "1 3 5 b7", "1 3 5 7",
                                      "1 b3 b5 bb7"};
  assert_true(way_scale_count() * 12 <= WAY_SCALE_FITS_MAX);
  for (uint32_t seed = 1; seed <= 100; ++seed) {
    uint32_t rng = seed;
    WayChord chords[3];
    WayPcSet pcs = 0;
    const size_t n = 1 + rng_below(&rng, 3);
    for (size_t i = 0; i < n; ++i) {
      chords[i] = a_chord("C", kinds[rng_below(&rng, WAY_COUNT(kinds))], NULL);
      chords[i].root = chords[i].bass =
          way_spelling_at_fifths((int)rng_below(&rng, 12) - 5);
      pcs |= way_chord_pcs(&chords[i]);
    }
    const size_t found = way_scale_fit(chords, n, fits, WAY_SCALE_FITS_MAX);
    bool seen[WAY_PCS_ALL + 1] = {false};
    for (size_t i = 0; i < found; ++i) {
      const WayPcSet set = way_scale_pcs(&fits[i].scale);
      assert_int_equal(pcs & ~set, 0);
      assert_int_equal(fits[i].others, set & ~pcs);
      assert_false(seen[set]);
      seen[set] = true;
    }
    for (unsigned t = 0; t < way_scale_count(); ++t)
      for (int f = -5; f <= 6; ++f) {
        const WayScale s = way_scale_on(way_spelling_at_fifths(f), way_scale_type(t));
        const WayPcSet set = way_scale_pcs(&s);
        if (seen[set] != !(pcs & ~set)) fail_msg("seed %u: %s", seed, s.type->name);
      }
    static WayScaleFit head[8];
    const size_t few = way_scale_fit(chords, n, head, WAY_COUNT(head));
    assert_int_equal(few, found < 8 ? found : 8);
    for (size_t i = 0; i < few; ++i)
      assert_int_equal(way_scale_pcs(&head[i].scale), way_scale_pcs(&fits[i].scale));
  }
}

static void test_no_chord_has_no_scale(void** state) {
  (void)state;
  const WayChord none = way_chord_none();
  assert_int_equal(way_scale_fit(&none, 1, fits, WAY_SCALE_FITS_MAX), 0);
  assert_int_equal(way_scale_fit(NULL, 0, fits, WAY_SCALE_FITS_MAX), 0);
  WayChord chords[1];
  read("C", chords);
  assert_int_equal(way_scale_fit(chords, 1, fits, 0), 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_best_scale),
      cmocka_unit_test(test_all_scales_that_hold_the_chords),
      cmocka_unit_test(test_no_chord_has_no_scale),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
