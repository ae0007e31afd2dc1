#include "check.h"
#include "rng.h"
#include "theory.h"
#include "theory/chord_read.h"

#include "theory/loop_fit.h"
#include <math.h>

// Chords separated by blanks, one unit of time each.
static WayLoopSum sum_of(const char* symbols) {
  WayLoopSum sum = {0};
  while (*symbols) {
    const size_t n = strcspn(symbols, " ");
    WayChord chord;
    assert_int_equal(way_chord_read((WayText){symbols, n}, &chord, NULL), WAY_OK);
    way_loop_add(&sum, &chord, 1);
    symbols += n + (symbols[n] == ' ');
  }
  return sum;
}

static void assert_scale(const WayScale* s, const char* expected) {
  char text[64];
  WayOut out = way_out(text, sizeof(text));
  way_spelling_write(s->tonic, &out);
  way_out_char(&out, ' ');
  way_out_str(&out, s->type->name);
  assert_string_equal(text, expected);
}

// The worked examples of docs/theory.md, section "Loops".
static void test_worked_loops(void** state) {
  (void)state;
  static const struct {
    const char *key, *chords, *pentatonic, *blues, *parent;
  } cases[] = {
      {"C", "C Am F G", "C major pentatonic", "C major blues", "C major"},
      {"A minor", "Am F C G", "A minor pentatonic", "A minor blues", "A minor"},
      {"A", "A7 A7 A7 A7 D7 D7 A7 A7 E7 D7 A7 E7", "A minor pentatonic",
       "A minor blues", "A mixolydian"},
      {"A minor", "Am Dm E7 Am", "A minor pentatonic", "A minor blues",
       "A harmonic minor"},
      {"D dorian", "Dm7 G7", "D minor pentatonic", "D minor blues", "D dorian"},
      {"E phrygian", "Em F", "E minor pentatonic", "E minor blues", "E phrygian"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayLoopSum sum = sum_of(cases[i].chords);
    const WayLoopScales s = way_loop_scales(&sum, a_key(cases[i].key));
    assert_scale(&s.pentatonic, cases[i].pentatonic);
    assert_scale(&s.blues, cases[i].blues);
    assert_scale(&s.parent, cases[i].parent);
  }
}

static void test_share_and_runner_up(void** state) {
  (void)state;
  const WayLoopSum sum = sum_of("C C F G");
  const WayLoopChoice parent = way_loop_choose(&sum, WAY_MATERIAL_PARENT, a_key("C"));
  assert_true(fabs(parent.best.share - 1) < 1e-9);
  // F major lacks the B of G, G major the F of F: a third of a quarter each.
  assert_true(fabs(parent.next.share - 1 + 1 / 12.0) < 1e-9);
  const WayLoopChoice penta =
      way_loop_choose(&sum, WAY_MATERIAL_PENTATONIC, a_key("C"));
  // C E G D A: all of C, two of three in F and in G.
  assert_true(fabs(penta.best.share - 0.5 - 2 * 2 / 12.0) < 1e-9);
  assert_true(way_scale_pcs(&penta.best.scale) != way_scale_pcs(&penta.next.scale));
}

static void test_nothing_to_go_by_gives_the_keys_own(void** state) {
  (void)state;
  WayLoopSum sum = {0};
  const WayChord none = way_chord_none();
  way_loop_add(&sum, &none, 4);
  for (int m = 0; m < WAY_MODE_COUNT; ++m) {
    const WayKey key = {{4, -1}, (WayMode)m};
    const WayLoopScales got = way_loop_scales(&sum, key);
    const WayLoopScales own = way_material_of_key(key);
    assert_int_equal(way_scale_pcs(&got.pentatonic), way_scale_pcs(&own.pentatonic));
    assert_ptr_equal(got.blues.type, own.blues.type);
    assert_ptr_equal(got.parent.type, own.parent.type);
    assert_true(way_spelling_equal(got.parent.tonic, key.tonic));
  }
}

// Property: a loop and its key moved together have their scales moved along.
static void test_loops_move_with_their_key(void** state) {
  (void)state;
  static const char* const tones[] = {"1 3 5",     "1 b3 5",     "1 3 5 b7", "1 3 5 7",
                                      "1 b3 5 b7", "1 b3 b5 b7", "1 4 5 b7"};
  for (uint32_t seed = 1; seed <= 500; ++seed) {
    uint32_t rng = seed;
    WayLoopSum here = {0};
    WayLoopSum there = {0};
    const WayKey key = {{0, 0}, (WayMode)rng_below(&rng, WAY_MODE_COUNT)};
    const WayKey moved = {{4, 0}, key.mode};
    for (uint32_t n = 1 + rng_below(&rng, 6); n--;) {
      const char* const kind = tones[rng_below(&rng, WAY_COUNT(tones))];
      const int fifths = (int)rng_below(&rng, 12) - 5;
      const double weight = 1 + rng_below(&rng, 8);
      WayChord chord = a_chord("C", kind, NULL);
      chord.root = chord.bass = way_spelling_at_fifths(fifths);
      way_loop_add(&here, &chord, weight);
      chord.root = chord.bass = way_spelling_at_fifths(fifths + 1);
      way_loop_add(&there, &chord, weight);
    }
    for (WayMaterial m = WAY_MATERIAL_PENTATONIC; m <= WAY_MATERIAL_PARENT; ++m) {
      const WayLoopChoice a = way_loop_choose(&here, m, key);
      const WayLoopChoice b = way_loop_choose(&there, m, moved);
      assert_true(a.best.share <= 1 + 1e-9 && a.best.value >= a.next.value);
      assert_int_not_equal(way_scale_pcs(&a.best.scale), way_scale_pcs(&a.next.scale));
      if (a.best.value - a.next.value < 1e-9) continue; // a tie may go either way
      if (way_scale_pcs(&b.best.scale) != way_pcs_move(way_scale_pcs(&a.best.scale), 7))
        fail_msg("seed %u: the %s scale did not move along", seed,
                 way_material_name(m));
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_worked_loops),
      cmocka_unit_test(test_share_and_runner_up),
      cmocka_unit_test(test_nothing_to_go_by_gives_the_keys_own),
      cmocka_unit_test(test_loops_move_with_their_key),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
