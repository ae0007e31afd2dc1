#include "chart/chart_transpose.h"

#include "alloc.h"
#include "chart/chart_write.h"
#include "chart_random.h"
#include "chart_text.h"
#include "check.h"
#include "rng.h"
#include "theory/key.h"

#include <stdlib.h>

static WaySpelling note(const char* text) {
  WayCursor c = way_cursor(way_text(text));
  WaySpelling s = {0, 0};
  assert_int_equal(way_spelling_read(&c, &s, NULL), WAY_OK);
  return s;
}

static const struct {
  const char *text, *tonic, *moved;
} cases[] = {
    {"key: D\n| D | D/F# G>3 | F#m7b5 / / B7 | % | N.C. |\n", "Eb",
     "key: Eb major\n\n| Eb | Eb/G Ab>3 | Gm7b5 / / C7 | % |\n| N.C. |\n"},
    {"key: C\n| I | V7/V G7 |\n", "E", "key: E major\n\n| I | V7/V B7 |\n"},
    {"key: c\n[A] | Cm | Ab |\n[B] key: Eb\n| Eb | Bb7 |\n", "A",
     "key: A minor\n\n[A]\n| Am | F |\n\n[B]\nkey: C major\n| C | G7 |\n"},
    // a section's key that would need more than seven accidentals is respelled
    {"key: C\n[A] | C |\n[B] key: A\n| I |\n", "F#",
     "key: F# major\n\n[A]\n| F# |\n\n[B]\nkey: Eb major\n| I |\n"},
    // roots that would need a double accidental are respelled
    {"key: C\n| C | Gb7 | Ab |\n", "Gb", "key: Gb major\n\n| Gb | C7 | D |\n"},
};

static void test_all_but_numerals_move(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChart* const c = chart_of(cases[i].text);
    WayChart* moved = NULL;
    char* text = NULL;
    assert_int_equal(way_chart_transpose(c, note(cases[i].tonic), &moved), WAY_OK);
    assert_int_equal(way_chart_write(moved, &text), WAY_OK);
    assert_string_equal(text, cases[i].moved);
    free(text);
    way_chart_free(moved);
    way_chart_free(c);
  }
}

static void test_tonics_are_spelled_for_few_accidentals(void** state) {
  (void)state;
  static const struct {
    const char* key;
    int semitones;
    const char* tonic;
  } moves[] = {{"C", 1, "Db"}, {"C", -1, "B"},  {"a", 1, "Bb"},        {"c", 1, "C#"},
               {"C", 12, "C"}, {"D", -14, "C"}, {"D dorian", 2, "E"},  {"Gb", 0, "Gb"},
               {"C", 8, "Ab"}, {"a", 11, "G#"}, {"C lydian", 1, "Db"}, {"F", 25, "Gb"}};
  for (size_t i = 0; i < WAY_COUNT(moves); ++i) {
    WayKey key;
    assert_int_equal(way_key_read(way_text(moves[i].key), &key, NULL), WAY_OK);
    char text[WAY_SPELLING_MAX];
    WayOut out = way_out(text, sizeof(text));
    way_spelling_write(way_chart_tonic_moved(key, moves[i].semitones), &out);
    assert_string_equal(text, moves[i].tonic);
  }
}

/// Property: every chord moves by the same interval, and the copy can be written and
/// read.
static void test_pitches_move_together(void** state) {
  (void)state;
  static char text[8192];
  for (uint32_t seed = 1; seed <= 1000; ++seed) {
    uint32_t rng = seed;
    chart_random(&rng, text, sizeof(text));
    WayChart* const c = chart_of(text);
    const int semitones = (int)rng_below(&rng, 25) - 12;
    WayChart* moved = NULL;
    assert_int_equal(
        way_chart_transpose(c, way_chart_tonic_moved(c->key, semitones), &moved),
        WAY_OK);
    for (uint32_t i = 0; i < c->n_slots; ++i) {
      const WayChord *a = &c->slots[i].chord, *b = &moved->slots[i].chord;
      const WayPcSet up = way_pcs_move(way_chord_pcs(a), way_pc(semitones));
      const bool none = way_chord_is_none(a);
      if (none ? !way_chord_is_none(b)
               : way_chord_pcs(b) != up ||
                     way_spelling_pc(b->bass) !=
                         way_pc(way_spelling_pc(a->bass) + semitones))
        fail_msg("seed %u, %d semitones: %s becomes %s", seed, semitones,
                 c->slots[i].text, moved->slots[i].text);
    }
    char* out = NULL;
    assert_int_equal(way_chart_write(moved, &out), WAY_OK);
    WayChart* const again = chart_of(out);
    if (!chart_equal(moved, again))
      fail_msg("seed %u: reads otherwise:\n%s", seed, out);
    free(out);
    way_chart_free(again);
    way_chart_free(moved);
    way_chart_free(c);
  }
}

static void test_no_memory_is_reported(void** state) {
  (void)state;
  WayChart* const c = chart_of("form: A\n[A] | C | F |");
  for (long n = 1; n <= 5; ++n) {
    WayChart* moved = NULL;
    alloc_fail_at(n);
    assert_int_equal(way_chart_transpose(c, note("D"), &moved), WAY_ERR_NO_MEMORY);
    assert_true(alloc_failed());
    alloc_fail_at(0);
    assert_null(moved);
  }
  way_chart_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_all_but_numerals_move),
      cmocka_unit_test(test_tonics_are_spelled_for_few_accidentals),
      cmocka_unit_test(test_pitches_move_together),
      cmocka_unit_test(test_no_memory_is_reported),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
