#include "theory/key_find.h"

#include "check.h"
#include "theory/chord_read.h"

#include <stdio.h>
#include <stdlib.h>

#define CHORDS_MAX 512u

/// Read bars of chords, a bar four beats shared evenly: `| C | Am Dm | G7 |`.
static size_t read_bars(const char* text, WayHeardChord chords[CHORDS_MAX]) {
  char copy[4096];
  size_t n = 0, bar = 0;
  assert_true(strlen(text) < sizeof(copy));
  strcpy(copy, text);
  for (char* word = copy; *word;) {
    const size_t size = strcspn(word, " \n");
    const char* const end = word + size;
    if (size == 1 && *word == '|') {
      for (size_t i = bar; i < n; ++i) chords[i].beats = 4.0f / (float)(n - bar);
      bar = n;
    } else if (size) {
      assert_true(n < CHORDS_MAX);
      WayError e = {0};
      if (way_chord_read((WayText){word, size}, &chords[n].chord, &e))
        fail_msg("%.*s: %s", (int)size, word, e.message);
      ++n;
    }
    word += (end - word) + (*end != '\0');
  }
  return n;
}

static void write_key(WayKey key, char* buffer, size_t room) {
  WayOut out = way_out(buffer, room);
  way_key_write(key, &out);
}

// Generic progressions of our own, their keys by common practice, no source.
static const struct {
  const char *key, *bars;
} progressions[] = {
    {"C major", "| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | C6 | A7 |"},
    {"C minor", "| Dm7b5 | G7b9 | Cm7 | Cm7 | Fm7 | G7 | Cm6 | G7 |"},
    {"F major",
     "| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | D7 | Gm7 | C7 | F7 D7 | Gm7 C7 |"},
    {"A minor", "| Am | F | C | G | Am | F | C | G | Am | F | E7 | Am |"},
    {"G major", "| G | D | Em | C | G | D | C | G |"},
    {"D minor", "| Dm7 | G7 | Dm7 | G7 | Dm7 | G7 |"},
    {"E minor", "| F#m7b5 | B7 | Em7 | A7 | Am7 | D7 | Gmaj7 | B7 | Em | Em |"},
    {"Eb major",
     "| Ebmaj7 Cm7 | Fm7 Bb7 | Gm7 C7 | Fm7 Bb7 | Ebmaj7 | Abmaj7 | Fm7 Bb7 | Eb6 |"},
    {"D major", "| D | C | G | D | D | C | G | D |"},
    {"B minor", "| Bm | G | D | A | Bm | G | F# | Bm |"},
};

static void test_the_key_of_common_progressions(void** state) {
  (void)state;
  static WayHeardChord chords[CHORDS_MAX];
  for (size_t i = 0; i < WAY_COUNT(progressions); ++i) {
    const size_t n = read_bars(progressions[i].bars, chords);
    const WayKeyFinding found = way_key_find(chords, n);
    char key[32];
    write_key(found.best.key, key, sizeof(key));
    if (strcmp(key, progressions[i].key) != 0)
      fail_msg("%s: found %s", progressions[i].bars, key);
    assert_true(found.best.confidence >= found.runner_up.confidence);
    assert_true(found.best.confidence <= 1);
  }
}

// Loops of one set of seven notes: next comes the other key of that set.  Common
// practice (relative keys), no source.
static void test_the_runner_up_of_loops(void** state) {
  (void)state;
  static const struct {
    const char *bars, *best, *next;
  } loops[] = {
      {"| Am | F | C | G |", "A minor", "C major"},
      {"| F | C | G | Am |", "A minor", "C major"},
      {"| C | G | Am | F |", "C major", "A minor"},
      {"| Bm | G | D | A |", "B minor", "D major"},
      {"| Em | C | G | D | Em | C | G | D |", "E minor", "G major"},
      {"| Dm | C | Bb | F |", "F major", "D minor"},
      {"| Am7 | Fmaj7 | C | G |", "A minor", "C major"},
  };
  static WayHeardChord chords[CHORDS_MAX];
  for (size_t i = 0; i < WAY_COUNT(loops); ++i) {
    const WayKeyFinding found = way_key_find(chords, read_bars(loops[i].bars, chords));
    char best[32], next[32];
    write_key(found.best.key, best, sizeof(best));
    write_key(found.runner_up.key, next, sizeof(next));
    if (strcmp(best, loops[i].best) != 0 || strcmp(next, loops[i].next) != 0)
      fail_msg("%s: found %s, then %s", loops[i].bars, best, next);
  }
}

// Property: the same chords elsewhere have their key elsewhere, as sure as before.
static void test_transposition_moves_the_key(void** state) {
  (void)state;
  static WayHeardChord chords[CHORDS_MAX];
  for (size_t i = 0; i < WAY_COUNT(progressions); ++i) {
    const size_t n = read_bars(progressions[i].bars, chords);
    const WayKeyFinding before = way_key_find(chords, n);
    for (int fifths = -5; fifths <= 6; ++fifths) {
      const WaySpelling to = way_spelling_at_fifths(fifths);
      const WaySpelling from = before.best.key.tonic;
      static WayHeardChord moved[CHORDS_MAX];
      for (size_t c = 0; c < n; ++c) {
        moved[c] = chords[c];
        moved[c].chord = way_chord_transposed(&chords[c].chord, from, to);
      }
      const WayKeyFinding after = way_key_find(moved, n);
      assert_int_equal(way_spelling_pc(after.best.key.tonic), way_spelling_pc(to));
      assert_int_equal(after.best.key.mode, before.best.key.mode);
      assert_true(after.best.confidence > before.best.confidence - 1e-4f);
      assert_true(after.best.confidence < before.best.confidence + 1e-4f);
    }
  }
}

static void test_silence_has_no_key(void** state) {
  (void)state;
  const WayHeardChord silence = {way_chord_none(), 4};
  assert_true(way_key_find(&silence, 1).best.confidence <= 0);
  assert_true(way_key_find(NULL, 0).best.confidence <= 0);
}

// The parts of charts: `[key]` before the chord where each begins.  Common practice, no
// source.
static const struct {
  const char *bars, *parts;
} charts[] = {
    {"| C | Am7 | Dm7 | G7 | C | F | G7 | C | Fm7 | Bb7 | Ebmaj7 | Abmaj7 | Fm7 | Bb7 "
     "| Ebmaj7 | Eb6 | Dm7 | G7 | C | Am7 | Dm7 | G7 | C | C |",
     "0 C major, 8 Eb major, 16 C major"},
    {"| Em7 | A7 | Dmaj7 | Dmaj7 | Dm7 | G7 | Cmaj7 | Cmaj7 | Cm7 | F7 | Bbmaj7 "
     "| Bbmaj7 | Em7 | A7 | Dmaj7 | Dmaj7 |",
     "0 D major, 4 C major, 8 Bb major, 12 D major"},
    {"| Dm7 | Dm7 | Dm7 | Dm7 | Ebm7 | Ebm7 | Ebm7 | Ebm7 | Dm7 | Dm7 | Dm7 | Dm7 |",
     "0 D minor, 4 Eb minor, 8 D minor"},
    // Applied dominants, a blues and a borrowed chord stay at home.
    {"| C6 | A7 | D7 | G7 | C6 | C7 | F6 | Fm6 | C6 A7 | Dm7 G7 | C6 | G7 |",
     "0 C major"},
    {"| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | D7 | Gm7 | C7 | F7 D7 | Gm7 C7 |",
     "0 F major"},
};

static void test_a_chart_that_modulates_has_parts(void** state) {
  (void)state;
  static WayHeardChord chords[CHORDS_MAX];
  static uint8_t work[WAY_KEY_PARTS_WORK(CHORDS_MAX)];
  static WayKey keys[CHORDS_MAX];
  for (size_t i = 0; i < WAY_COUNT(charts); ++i) {
    const size_t n = read_bars(charts[i].bars, chords);
    way_key_parts(chords, n, way_key_find(chords, n).best.key, work, keys);
    char parts[256];
    WayOut out = way_out(parts, sizeof(parts));
    for (size_t c = 0; c < n; ++c) {
      if (c && way_key_equal(keys[c], keys[c - 1])) continue;
      if (c) way_out_str(&out, ", ");
      way_out_int(&out, (int64_t)c);
      way_out_char(&out, ' ');
      way_key_write(keys[c], &out);
    }
    if (strcmp(parts, charts[i].parts) != 0) fail_msg("%s: %s", charts[i].bars, parts);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_key_of_common_progressions),
      cmocka_unit_test(test_the_runner_up_of_loops),
      cmocka_unit_test(test_transposition_moves_the_key),
      cmocka_unit_test(test_silence_has_no_key),
      cmocka_unit_test(test_a_chart_that_modulates_has_parts),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
