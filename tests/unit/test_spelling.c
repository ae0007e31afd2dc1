#include "check.h"
#include "theory/spelling.h"

static const char* written(WaySpelling s) {
  static char buffer[WAY_SPELLING_MAX];
  WayOut out = way_out(buffer, sizeof(buffer));
  way_spelling_write(s, &out);
  return buffer;
}

static WaySpelling note(const char* text) {
  WayCursor c = way_cursor(way_text(text));
  WaySpelling s = {0, 0};
  assert_int_equal(way_spelling_read(&c, &s, NULL), WAY_OK);
  assert_int_equal(c.byte, strlen(text));
  return s;
}

static void test_reads_letters_and_accidentals(void** state) {
  (void)state;
  static const struct {
    const char *text, *as;
    int pc;
  } cases[] = {
      {"C", "C", 0},
      {"c", "C", 0},
      {"F#", "F#", 6},
      {"Bb", "Bb", 10},
      {"bb", "Bb", 10},
      {"Fx", "F##", 7},
      {"Cb", "Cb", 11},
      {"B#", "B#", 0},
      {"Ebbb", "Ebbb", 1},
      {"C\u266F", "C#", 1},
      {"E\u266D", "Eb", 3},
      {"A\u266E", "A", 9},
      {"D\U0001D12A", "D##", 4},
      {"D\U0001D12B", "Dbb", 0},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    assert_string_equal(written(note(cases[i].text)), cases[i].as);
    assert_int_equal(way_spelling_pc(note(cases[i].text)), cases[i].pc);
  }
}

static void test_errors_pin_the_place_and_change_nothing(void** state) {
  (void)state;
  static const struct {
    const char* text;
    unsigned column;
  } cases[] = {{"", 1}, {"H", 1}, {"#", 1}, {"C#####", 6}, {"Dbbbbb", 6}, {"\xFF", 1}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayCursor c = way_cursor(way_text(cases[i].text));
    WaySpelling s = {3, 3};
    WayError e;
    assert_int_equal(way_spelling_read(&c, &s, &e), WAY_ERR_SYNTAX);
    assert_int_equal(e.column, cases[i].column);
    assert_int_equal(c.byte, 0);
    assert_true(way_spelling_equal(s, (WaySpelling){3, 3}));
  }
}

// The line of fifths: Fb Cb Gb Db Ab Eb Bb F C G D A E B F# C# ... (common practice).
static void test_line_of_fifths(void** state) {
  (void)state;
  static const char* const line[] = {"Fb", "Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F",
                                     "C",  "G",  "D",  "A",  "E",  "B",  "F#", "C#"};
  for (int i = 0; i < (int)WAY_COUNT(line); ++i) {
    assert_int_equal(way_spelling_fifths(note(line[i])), i - 8);
    assert_string_equal(written(way_spelling_at_fifths(i - 8)), line[i]);
  }
  for (int f = -40; f <= 40; ++f)
    assert_int_equal(way_spelling_fifths(way_spelling_at_fifths(f)), f);
}

static void test_degrees_above_a_root(void** state) {
  (void)state;
  static const struct {
    const char *root, *degree, *note;
  } cases[] = {
      {"D", "b3", "F"},    {"C", "bb7", "Bbb"}, {"F#", "#5", "C##"}, {"B", "9", "C#"},
      {"Ab", "b13", "Fb"}, {"G#", "7", "F##"},  {"E", "#11", "A#"},  {"C", "R", "C"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayCursor c = way_cursor(way_text(cases[i].degree));
    WayDegree d;
    assert_int_equal(way_degree_read(&c, &d, NULL), WAY_OK);
    assert_string_equal(written(way_spelling_above(note(cases[i].root), d)),
                        cases[i].note);
  }
}

// Property: a degree sounds as many semitones above its root as it says.
static void test_spelled_degrees_sound_right(void** state) {
  (void)state;
  for (int f = -15; f <= 19; ++f)
    for (int8_t number = 1; number <= 14; ++number)
      for (int8_t alter = -2; alter <= 2; ++alter) {
        const WaySpelling root = way_spelling_at_fifths(f);
        const WayDegree d = {number, alter};
        const WaySpelling s = way_spelling_above(root, d);
        assert_int_equal(way_spelling_pc(s),
                         way_pc(way_spelling_pc(root) + way_degree_semitones(d)));
        assert_int_equal(s.letter, (root.letter + number - 1) % 7);
      }
}

static void test_simple_spelling_keeps_the_lean(void** state) {
  (void)state;
  static const char* const cases[][2] = {{"Bbb", "A"},   {"E#", "F"},   {"F##", "G"},
                                         {"C#", "C#"},   {"Db", "Db"},  {"Cbbb", "A"},
                                         {"Ebbb", "Db"}, {"B##", "C#"}, {"Fb", "E"}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_string_equal(written(way_spelling_simple(note(cases[i][0]))), cases[i][1]);
}

static void test_degree_numbers_end_at_fourteen(void** state) {
  (void)state;
  static const char* const bad[] = {"", "0", "15", "b", "99999999999", "x", "#####1"};
  for (size_t i = 0; i < WAY_COUNT(bad); ++i) {
    WayCursor c = way_cursor(way_text(bad[i]));
    WayDegree d;
    assert_int_equal(way_degree_read(&c, &d, NULL), WAY_ERR_SYNTAX);
    assert_int_equal(c.byte, 0);
  }
  assert_int_equal(way_degree_semitones((WayDegree){9, -1}), 13);
  assert_int_equal(way_degree_pc((WayDegree){9, -1}), 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_reads_letters_and_accidentals),
      cmocka_unit_test(test_errors_pin_the_place_and_change_nothing),
      cmocka_unit_test(test_line_of_fifths),
      cmocka_unit_test(test_degrees_above_a_root),
      cmocka_unit_test(test_spelled_degrees_sound_right),
      cmocka_unit_test(test_simple_spelling_keeps_the_lean),
      cmocka_unit_test(test_degree_numbers_end_at_fourteen),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
