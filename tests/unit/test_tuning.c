#include "check.h"
#include "draw/tuning.h"

static WayTuning tuning_of(const char* text) {
  WayTuning t = {0};
  assert_int_equal(way_tuning_read(way_text(text), &t, NULL), WAY_OK);
  return t;
}

// Common practice, no source: the notes that go with the names.
static void test_names_mean_their_notes(void** state) {
  (void)state;
  static const char* const pairs[][2] = {{"guitar", "E2 A2 D3 G3 B3 E4"},
                                         {"seven-string", "B1 E2 A2 D3 G3 B3 E4"},
                                         {"bass", "E1 A1 D2 G2"},
                                         {"five-string-bass", "B0,E1,A1,D2,G2"},
                                         {"drop-d", "D2 A2 D3 G3 B3 E4"},
                                         {"dadgad", "D2 A2 D3 G3 A3 D4"},
                                         {"open-d", "D2 A2 D3 F#3 A3 D4"},
                                         {"open-g", "D2 G2 D3 G3 B3 D4"},
                                         {"open-e", "E2 B2 E3 G#3 B3 E4"},
                                         {"open-a", "E2 A2 E3 A3 C#4 E4"},
                                         {"open-c", "C2 G2 C3 G3 C4 E4"},
                                         {"double-drop-d", "D2 A2 D3 G3 B3 D4"},
                                         {"mandolin", "G3 D4 A4 E5"},
                                         {"ukulele", "G4 C4 E4 A4"},
                                         {"fourths", "E2 A2 D3 G3 C4 F4"},
                                         {"eight-string", "F#1 B1 E2 A2 D3 G3 B3 E4"},
                                         {"six-string-bass", "B0 E1 A1 D2 G2 C3"},
                                         {"fifths", "C2 G2 D3 A3"}};
  assert_int_equal(WAY_COUNT(pairs), way_tuning_count());
  for (size_t i = 0; i < WAY_COUNT(pairs); ++i) {
    const WayTuning a = tuning_of(pairs[i][0]), b = tuning_of(pairs[i][1]);
    assert_int_equal(a.n, b.n);
    assert_memory_equal(a.open, b.open, a.n);
  }
}

static void test_notes_and_octaves(void** state) {
  (void)state;
  const WayTuning t = tuning_of(" C4, B#3 Cb4 C-1 G9 f#2 bb2 A0 E\xE2\x99\xAD"
                                "2 ");
  static const uint8_t expected[] = {60, 60, 59, 0, 127, 42, 46, 21, 39};
  assert_int_equal(t.n, 9);
  assert_memory_equal(t.open, expected, 9);
}

static void test_refusals_have_their_place(void** state) {
  (void)state;
  static const struct {
    const char* text;
    uint32_t column;
  } cases[] = {{"E2 A2 D3", 9},
               {"E2 A2 D3 G", 11},
               {"lute", 1},
               {"", 1},
               {"E2 A2 H3 G3", 7},
               {"E2 A2 D3 A9 G3", 10},
               {"E2 E2 E2 E2 E2 E2 E2 E2 E2 E2", 28}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayTuning t = {.n = 77};
    WayError error = {0};
    assert_int_equal(way_tuning_read(way_text(cases[i].text), &t, &error),
                     WAY_ERR_SYNTAX);
    assert_int_equal(t.n, 77);
    assert_int_equal(error.column, cases[i].column);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_names_mean_their_notes),
      cmocka_unit_test(test_notes_and_octaves),
      cmocka_unit_test(test_refusals_have_their_place),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
