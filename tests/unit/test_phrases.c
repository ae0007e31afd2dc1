#include "check.h"
#include "played.h"
#include "rng.h"
#include "take/phrases.h"

#include <string.h>

enum { BAR = 4 * WAY_TICKS_PER_QUARTER };

/// The first notes of the phrases of a take, as `0 4 9`.
static void check_phrases(const Played* notes, uint32_t n, const char* expected) {
  WayTake* const take = take_played(notes, n);
  WayPhrase* phrases = NULL;
  uint32_t n_phrases = 0;
  assert_int_equal(way_phrases(take, BAR, &phrases, &n_phrases), WAY_OK);
  char text[256] = "";
  WayOut out = way_out(text, sizeof(text));
  for (uint32_t i = 0; i < n_phrases; ++i) {
    if (i) way_out_char(&out, ' ');
    way_out_int(&out, phrases[i].first);
    assert_int_equal(phrases[i].last,
                     (i + 1 < n_phrases ? phrases[i + 1].first : n) - 1);
  }
  assert_string_equal(text, expected);
  free(phrases);
  way_take_free(take);
}
#define PHRASES(expected, ...)                                                         \
  check_phrases((const Played[]){__VA_ARGS__},                                         \
                WAY_COUNT(((const Played[]){__VA_ARGS__})), expected)

// A rest of a beat starts a phrase: the rule that finds marked phrases of 456 published
// jazz solos with F = 0.85, for lines in eighth notes.
static void test_a_rest_of_a_beat_in_eighth_notes(void** state) {
  (void)state;
  PHRASES("0 5", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 65},
          {2, 0.6, 67}, {3.75, 0.5, 62}, {4.25, 0.5, 64}, {4.75, 0.5, 65},
          {5.25, 0.5, 67});
  PHRASES("0", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 65}, {2, 0.5, 67},
          {3, 0.5, 65}, {3.5, 0.5, 64}, {4, 0.5, 65}, {4.5, 0.5, 67});
}

static void test_shorter_rests_count_in_quicker_lines(void** state) {
  (void)state;
  PHRASES("0 6", {0, 0.25, 60}, {0.25, 0.25, 62}, {0.5, 0.25, 64}, {0.75, 0.25, 65},
          {1, 0.25, 67}, {1.25, 0.25, 69}, {2.3, 0.25, 62}, {2.55, 0.25, 64},
          {2.8, 0.25, 65}, {3.05, 0.25, 67}, {3.3, 0.25, 65});
}

static void test_longer_rests_belong_to_slower_lines(void** state) {
  (void)state;
  PHRASES("0", {0, 1, 60}, {2, 1, 62}, {4, 1, 64}, {6, 1, 65}, {8, 1, 64}, {10, 1, 62});
}

static void test_a_long_note_ends_a_phrase_without_a_rest(void** state) {
  (void)state;
  PHRASES("0 5", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 65},
          {2, 3.9, 67}, {6, 0.5, 59}, {6.5, 0.5, 60}, {7, 0.5, 62}, {7.5, 0.5, 64});
}

static void test_a_leap_helps_where_rests_leave_it_open(void** state) {
  (void)state;
  PHRASES("0 4", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 65},
          {2.9, 0.5, 77}, {3.4, 0.5, 76}, {3.9, 0.5, 74}, {4.4, 0.5, 72});
  PHRASES("0", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 65},
          {2.9, 0.5, 65}, {3.4, 0.5, 64}, {3.9, 0.5, 62}, {4.4, 0.5, 60});
}

static void test_openings_alike_support_each_other(void** state) {
  (void)state;
  PHRASES("0 4", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 60},
          {2.9, 0.5, 63}, {3.4, 0.5, 65}, {3.9, 0.5, 67}, {4.4, 0.5, 63});
  PHRASES("0", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 60},
          {2.9, 0.5, 63}, {3.4, 0.5, 61}, {3.9, 0.5, 60}, {4.4, 0.5, 63});
}

static void test_the_same_place_of_the_bar_helps(void** state) {
  (void)state;
  PHRASES("0 6", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 62},
          {2, 0.5, 61}, {2.5, 0.65, 60}, {4, 0.5, 61}, {4.5, 0.5, 59}, {5, 0.5, 57},
          {5.5, 0.5, 55});
  PHRASES("0", {0.3, 0.2, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 62},
          {2, 0.5, 61}, {2.5, 0.65, 60}, {4, 0.5, 61}, {4.5, 0.5, 59}, {5, 0.5, 57},
          {5.5, 0.5, 55});
}

static void test_sound_in_another_voice_bridges_a_rest(void** state) {
  (void)state;
  PHRASES("0 5", {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 65},
          {2, 0.5, 67}, {4, 0.5, 62}, {4.5, 0.5, 64}, {5, 0.5, 65});
  PHRASES("0", {0, 4.5, 48}, {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64}, {1.5, 0.5, 65},
          {2, 0.5, 67}, {3.5, 0.5, 62}, {4, 0.5, 64}, {4.5, 0.5, 65});
}

/// Eighth notes with a rest of `rest` quarter notes behind the fifth, at a tempo.
static uint32_t phrases_at(double tempo, double rest) {
  Played notes[10];
  for (int i = 0; i < 10; ++i)
    notes[i] = (Played){i * 0.5 + (i < 5 ? 0 : rest), 0.5, 60 + i % 4};
  WayTake* const take = take_played(notes, 10);
  take->tempo = tempo;
  WayPhrase* phrases = NULL;
  uint32_t n = 0;
  assert_int_equal(way_phrases(take, BAR, &phrases, &n), WAY_OK);
  free(phrases);
  way_take_free(take);
  return n;
}

static void test_a_breath_is_longer_in_beats_at_a_quick_tempo(void** state) {
  (void)state;
  assert_int_equal(phrases_at(60, 0.9), 2);
  assert_int_equal(phrases_at(240, 0.9), 1);
  assert_int_equal(phrases_at(60, 0.7), 1);
  assert_int_equal(phrases_at(240, 1.2), 2);
}

// Where rests are clear, what is found is what the plain rule finds.
static void test_clear_rests_are_all_that_counts(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 300; ++seed) {
    uint32_t rng = seed;
    Played notes[120];
    char plain[256] = "0";
    WayOut out = way_out(plain, sizeof(plain));
    way_out_char(&out, '0');
    double at = 0.5 * rng_below(&rng, 8);
    uint32_t n = 0;
    while (n < 100) {
      if (n) {
        way_out_char(&out, ' ');
        way_out_int(&out, n);
      }
      const uint32_t in_phrase = 4 + rng_below(&rng, 16);
      for (uint32_t i = 0; i < in_phrase; ++i) { // detached to tied, none quite in time
        const double length = 0.25 + 0.01 * rng_below(&rng, 25);
        const double late = 0.002 * rng_below(&rng, 20);
        notes[n++] = (Played){at + late, length, 55 + (int)rng_below(&rng, 20)};
        at += 0.5;
      }
      at += 1.2 + 0.3 * rng_below(&rng, 8);
    }
    check_phrases(notes, n, plain);
  }
}

static void test_what_a_phrase_spans(void** state) {
  (void)state;
  WayTake* const take = take_played(
      (const Played[]){{1, 0.5, 60}, {1.5, 1, 72}, {1.5, 0.5, 55}, {6, 1, 64}}, 4);
  WayPhrase* p = NULL;
  uint32_t n = 0;
  assert_int_equal(way_phrases(take, BAR, &p, &n), WAY_OK);
  assert_int_equal(n, 2);
  assert_int_equal(p[0].start, WAY_TICKS_PER_QUARTER);
  assert_int_equal(p[0].end, WAY_TICKS_PER_QUARTER * 5 / 2);
  assert_int_equal(p[0].space, WAY_TICKS_PER_QUARTER * 7 / 2);
  assert_int_equal(p[0].low, 55);
  assert_int_equal(p[0].high, 72);
  assert_int_equal(p[1].space, 0);
  free(p);
  way_take_free(take);
}

static void test_no_notes_have_no_phrases(void** state) {
  (void)state;
  const WayTake take = {.n = 0};
  WayPhrase* p = NULL;
  uint32_t n = 1;
  assert_int_equal(way_phrases(&take, BAR, &p, &n), WAY_OK);
  assert_int_equal(n, 0);
  free(p);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_rest_of_a_beat_in_eighth_notes),
      cmocka_unit_test(test_shorter_rests_count_in_quicker_lines),
      cmocka_unit_test(test_longer_rests_belong_to_slower_lines),
      cmocka_unit_test(test_a_long_note_ends_a_phrase_without_a_rest),
      cmocka_unit_test(test_a_leap_helps_where_rests_leave_it_open),
      cmocka_unit_test(test_openings_alike_support_each_other),
      cmocka_unit_test(test_the_same_place_of_the_bar_helps),
      cmocka_unit_test(test_sound_in_another_voice_bridges_a_rest),
      cmocka_unit_test(test_a_breath_is_longer_in_beats_at_a_quick_tempo),
      cmocka_unit_test(test_clear_rests_are_all_that_counts),
      cmocka_unit_test(test_what_a_phrase_spans),
      cmocka_unit_test(test_no_notes_have_no_phrases),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
