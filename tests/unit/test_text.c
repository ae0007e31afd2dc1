#include "base/text.h"
#include "check.h"

static void test_cursor_counts_lines_and_characters(void** state) {
  (void)state;
  WayCursor c = way_cursor(way_text("a\u266Db\nc"));
  assert_int_equal(way_cursor_next(&c), 'a');
  assert_int_equal(way_cursor_next(&c), 0x266D);
  assert_int_equal(c.byte, 4);
  assert_int_equal(c.column, 3);
  assert_int_equal(way_cursor_next(&c), 'b');
  assert_int_equal(way_cursor_next(&c), '\n');
  assert_int_equal(c.line, 2);
  assert_int_equal(c.column, 1);
  assert_int_equal(way_cursor_next(&c), 'c');
  assert_int_equal(way_cursor_next(&c), WAY_TEXT_END);
}

// Ill-formed sequences of the Unicode Standard, chapter 3 (table 3-7): from memory.
static void test_bad_utf8_is_one_invalid_byte(void** state) {
  (void)state;
  static const char* const bad[] = {
      "\x80", "\xC0\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x99", "\xFF"};
  for (size_t i = 0; i < WAY_COUNT(bad); ++i) {
    WayCursor c = way_cursor(way_text(bad[i]));
    assert_int_equal(way_cursor_next(&c), WAY_TEXT_INVALID);
    assert_int_equal(c.byte, 1);
  }
}

static void test_failure_keeps_place_and_message(void** state) {
  (void)state;
  WayCursor c = way_cursor(way_text("ab\ncd"));
  assert_true(way_cursor_skip(&c, "ab\nc"));
  WayError e;
  assert_int_equal(way_cursor_fail(&c, WAY_ERR_SYNTAX, "expected x", &e),
                   WAY_ERR_SYNTAX);
  assert_int_equal(e.line, 2);
  assert_int_equal(e.column, 2);
  assert_int_equal(e.byte, 4);
  assert_string_equal(e.message, "expected x");
}

static void test_failure_at_no_place_has_none(void** state) {
  (void)state;
  WayError e = {WAY_OK, 9, 9, 9, "before"};
  assert_int_equal(way_fail(WAY_ERR_IO, "the disk is full", &e), WAY_ERR_IO);
  assert_int_equal(e.status, WAY_ERR_IO);
  assert_int_equal(e.byte, 0);
  assert_int_equal(e.line, 0);
  assert_int_equal(e.column, 0);
  assert_string_equal(e.message, "the disk is full");
  assert_int_equal(way_fail(WAY_ERR_IO, "nobody listens", NULL), WAY_ERR_IO);
}

static void test_out_cuts_between_characters(void** state) {
  (void)state;
  char buffer[6];
  WayOut out = way_out(buffer, sizeof(buffer));
  way_out_str(&out, "abc\u266D");
  assert_true(out.cut);
  assert_string_equal(buffer, "abc");
  way_out_str(&out, "d");
  assert_string_equal(buffer, "abc");
}

static void test_out_writes_every_integer(void** state) {
  (void)state;
  char buffer[32];
  WayOut out = way_out(buffer, sizeof(buffer));
  way_out_int(&out, INT64_MIN);
  assert_string_equal(buffer, "-9223372036854775808");
  out = way_out(buffer, sizeof(buffer));
  way_out_int(&out, 0);
  assert_string_equal(buffer, "0");
}

static void test_bytes_of_a_text(void** state) {
  (void)state;
  const WayText text = {"add9", 3};
  assert_true(way_text_starts(text, "ad") && way_text_starts(text, ""));
  assert_true(way_text_starts(text, "add"));
  assert_false(way_text_starts(text, "add9") || way_text_starts(text, "dd"));
  assert_int_equal(way_text_char(text, 2), 'd');
  assert_int_equal(way_text_char(text, 3), 0);
  assert_int_equal(way_text_char(text, (size_t)-1), 0);
  for (int c = -128; c < 128; ++c)
    assert_int_equal(way_is_digit((char)c), c > 0 && strchr("0123456789", c) != NULL);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_cursor_counts_lines_and_characters),
      cmocka_unit_test(test_bad_utf8_is_one_invalid_byte),
      cmocka_unit_test(test_failure_keeps_place_and_message),
      cmocka_unit_test(test_bytes_of_a_text),
      cmocka_unit_test(test_failure_at_no_place_has_none),
      cmocka_unit_test(test_out_cuts_between_characters),
      cmocka_unit_test(test_out_writes_every_integer),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
