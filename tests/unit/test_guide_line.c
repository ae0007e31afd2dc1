#include "theory/guide_line.h"

#include "check.h"
#include "rng.h"
#include "theory/chord_read.h"

#define CHORDS_MAX 16u

static size_t read_form(const char* text, WayLineChord* form) {
  size_t n = 0;
  while (*text) {
    const size_t size = strcspn(text, " ");
    const char* const mark = memchr(text, '>', size);
    const size_t symbol = mark ? (size_t)(mark - text) : size;
    assert_true(n < CHORDS_MAX);
    form[n] = (WayLineChord){.target = {0, 0}};
    if (way_chord_read((WayText){text, symbol}, &form[n].chord, NULL))
      fail_msg("%.*s", (int)size, text);
    if (mark) {
      WayCursor c = way_cursor((WayText){mark + 1, size - symbol - 1});
      assert_int_equal(way_degree_read(&c, &form[n].target, NULL), WAY_OK);
    }
    ++n;
    text += size + (text[size] == ' ');
  }
  return n;
}

static void find(const char* text, uint8_t low, uint8_t high, WayLineTone* out) {
  static uint8_t work[WAY_LINE_WORK(CHORDS_MAX)];
  WayLineChord form[CHORDS_MAX];
  const size_t n = read_form(text, form);
  assert_int_equal(way_line_find(form, n, low, high, work, out), WAY_OK);
}

// Sevenths fall to thirds and thirds stay as sevenths where roots fall by fifths:
// common practice, no source.
static const struct {
  const char *form, *degrees;
} lines[] = {
    {"Dm7 G7 Cmaj7 Cmaj7", "b3 b7= 3 3="},
    {"C F G7 C", "3 1 b7= 3"},
    {"Dm7 N.C. G7", "b3 - b7="},
    {"C>5 F", "5 3"},
    {"Csus4 C", "4 3"},
    {"C5 F5", "1 5="},
};

static void test_lines_of_common_forms(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(lines); ++i) {
    WayLineTone tones[CHORDS_MAX];
    WayLineChord form[CHORDS_MAX];
    const size_t n = read_form(lines[i].form, form);
    find(lines[i].form, 60, 71, tones);
    char degrees[128];
    WayOut out = way_out(degrees, sizeof(degrees));
    for (size_t t = 0; t < n; ++t) {
      if (t) way_out_char(&out, ' ');
      if (tones[t].pitch == WAY_LINE_SILENT)
        way_out_char(&out, '-');
      else
        way_degree_write(tones[t].degree, &out);
      if (t && tones[t].common) way_out_char(&out, '=');
    }
    if (strcmp(degrees, lines[i].degrees) != 0)
      fail_msg("%s: %s", lines[i].form, degrees);
  }
}

static int apart(int a, int b) { return a < b ? b - a : a - b; }

/// Least movement of any line of thirds and sevenths from chord `i` on, tried one by
/// one.
static int try_all(const WayLineChord* form, size_t n, size_t i, int first, int now,
                   int low, int high) {
  if (i == n) return apart(now, first);
  int least = 1000;
  for (int pitch = low; pitch <= high; ++pitch) {
    const WayDegree* const tone = way_chord_tone_at(&form[i].chord, way_pc(pitch));
    if (!tone || (tone->number != 3 && tone->number != 7)) continue;
    const int step = i ? apart(now, pitch) : 0;
    const int rest = try_all(form, n, i + 1, i ? first : pitch, pitch, low, high);
    if (step + rest < least) least = step + rest;
  }
  return least;
}

// Property: no line of thirds and sevenths moves less.
static void test_no_line_moves_less(void** state) {
  (void)state;
  static const char* const kinds[] = {"m7", "7", "maj7", "m7b5", "dim7"};
  static uint8_t work[WAY_LINE_WORK(CHORDS_MAX)];
  for (uint32_t seed = 1; seed <= 300; ++seed) {
    uint32_t rng = seed;
    WayLineChord form[5];
    for (size_t i = 0; i < WAY_COUNT(form); ++i) {
      char symbol[16] = "C";
      strcat(symbol, kinds[rng_below(&rng, WAY_COUNT(kinds))]);
      read_form(symbol, &form[i]);
      form[i].chord =
          way_chord_transposed(&form[i].chord, (WaySpelling){0, 0},
                               way_spelling_at_fifths((int)rng_below(&rng, 12) - 5));
    }
    const size_t n = 2 + rng_below(&rng, 4);
    const uint8_t low = (uint8_t)(50 + rng_below(&rng, 12));
    const uint8_t high = (uint8_t)(low + 11 + rng_below(&rng, 6));
    WayLineTone tones[5];
    assert_int_equal(way_line_find(form, n, low, high, work, tones), WAY_OK);
    int moved = 0;
    for (size_t i = 0; i < n; ++i) {
      assert_true(tones[i].pitch >= low && tones[i].pitch <= high);
      assert_true(tones[i].degree.number == 3 || tones[i].degree.number == 7);
      moved += apart(tones[i].pitch, tones[(i + 1) % n].pitch);
      assert_int_equal(tones[i].common, tones[i].pitch == tones[(i + n - 1) % n].pitch);
    }
    if (moved != try_all(form, n, 0, 0, 0, low, high)) fail_msg("seed %u", seed);
  }
}

static void test_ranges_are_checked(void** state) {
  (void)state;
  static uint8_t work[WAY_LINE_WORK(1)];
  WayLineChord form[CHORDS_MAX];
  WayLineTone tone;
  read_form("C", form);
  assert_int_equal(way_line_find(form, 1, 60, 70, work, &tone), WAY_ERR_RANGE);
  assert_int_equal(way_line_find(form, 1, 0, 64, work, &tone), WAY_ERR_RANGE);
  assert_int_equal(way_line_find(form, 1, 120, 131, work, &tone), WAY_ERR_RANGE);
  assert_int_equal(way_line_find(form, 1, 0, 63, work, &tone), WAY_OK);
  assert_int_equal(way_line_find(NULL, 0, 60, 71, work, &tone), WAY_OK);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_lines_of_common_forms),
      cmocka_unit_test(test_no_line_moves_less),
      cmocka_unit_test(test_ranges_are_checked),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
