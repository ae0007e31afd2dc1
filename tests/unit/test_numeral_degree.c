#include "theory/numeral_degree.h"

#include "check.h"

// Roman numerals; a flat or sharp in front moves the degree: common practice, no
// source.
static void test_degrees_as_written(void** state) {
  (void)state;
  static const struct {
    const char* text;
    int accidental, number;
    bool lower;
    const char* rest;
  } cases[] = {
      {"V7", 0, 5, false, "7"},       {"vii", 0, 7, true, ""},
      {"bVII", -1, 7, false, ""},     {"#ivo7", 1, 4, true, "o7"},
      {"\u266DVI", -1, 6, false, ""}, {"bbIII", -2, 3, false, ""},
      {"IIII", 0, 3, false, "I"},     {"b9", 0, 0, false, "b9"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayCursor c = way_cursor(way_text(cases[i].text));
    const WayNumeralDegree d = way_numeral_degree_read(&c);
    assert_int_equal(d.number, cases[i].number);
    if (d.number) {
      assert_int_equal(d.accidental, cases[i].accidental);
      assert_int_equal(d.lower, cases[i].lower);
    }
    assert_string_equal(cases[i].text + c.byte, cases[i].rest);
  }
}

// Property: a degree that is written is the one that is read.
static void test_what_is_written_reads_back(void** state) {
  (void)state;
  for (int accidental = -4; accidental <= 4; ++accidental)
    for (int8_t number = 1; number <= 7; ++number)
      for (int lower = 0; lower < 2; ++lower) {
        char text[16];
        WayOut out = way_out(text, sizeof(text));
        way_numeral_degree_write((WayNumeralDegree){accidental, number, lower}, &out);
        WayCursor c = way_cursor(way_text(text));
        const WayNumeralDegree back = way_numeral_degree_read(&c);
        assert_int_equal(c.byte, out.size);
        assert_int_equal(back.accidental, accidental);
        assert_int_equal(back.number, number);
        assert_int_equal(back.lower, lower);
      }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_degrees_as_written),
      cmocka_unit_test(test_what_is_written_reads_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
