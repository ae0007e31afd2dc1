#include "chart/chart_read.h"

#include "alloc.h"
#include "chart_text.h"
#include "check.h"
#include "theory/key.h"

#include <stdio.h>
#include <stdlib.h>

static void test_headers_are_read(void** state) {
  (void)state;
  WayChart* const c = chart_of("\xEF\xBB\xBFTITLE:  Slack Tide ; a comment\r\n"
                               "Key : F# minor\r\ntime:7/8\r\ntempo: 92.25\r\n"
                               "form: A [Low Water] A\r\n\r\n"
                               "[A]\r\n| F#m |\r\n[ Low Water ] ; another\r\n| C# |");
  assert_string_equal(c->title, "Slack Tide");
  assert_true(c->key_given);
  assert_int_equal(c->key.mode, WAY_MODE_MINOR);
  assert_int_equal(way_spelling_pc(c->key.tonic), 6);
  assert_int_equal(c->metre.beats, 7);
  assert_int_equal(c->metre.unit, 8);
  assert_true(c->tempo == 92.25);
  assert_int_equal(c->n_sections, 2);
  assert_string_equal(c->sections[1].name, "Low Water");
  assert_int_equal(c->n_form, 3);
  assert_int_equal(c->form[1], 1);
  way_chart_free(c);
}

static void test_defaults_stand_where_no_header_does(void** state) {
  (void)state;
  WayChart* const c = chart_of("| C | F | G7 | C |");
  assert_string_equal(c->title, "");
  assert_false(c->key_given || c->metre_given || c->tempo_given);
  assert_int_equal(c->metre.beats, 4);
  assert_int_equal(c->metre.unit, 4);
  assert_true(c->tempo == 120);
  assert_null(c->form);
  assert_int_equal(c->n_sections, 1);
  assert_string_equal(c->sections[0].name, "");
  way_chart_free(c);
}

static void test_the_key_is_found_where_none_is_given(void** state) {
  (void)state;
  WayChart* const c = chart_of("| Dm7 | G7 | Cmaj7 | % |");
  assert_int_equal(way_spelling_pc(c->key.tonic), 0);
  assert_int_equal(c->key.mode, WAY_MODE_MAJOR);
  assert_int_equal(way_spelling_pc(c->sections[0].key.tonic), 0);
  way_chart_free(c);
}

static void test_a_section_may_have_its_own_key_and_metre(void** state) {
  (void)state;
  WayChart* const c =
      chart_of("key: C\n[A]\n| I |\n[B] key: Eb\ntime: 3/4\n| I |\n[C] | I |");
  assert_int_equal(way_spelling_pc(c->sections[0].key.tonic), 0);
  assert_int_equal(way_spelling_pc(c->sections[1].key.tonic), 3);
  assert_int_equal(way_spelling_pc(c->sections[2].key.tonic), 0);
  assert_int_equal(c->sections[1].metre.beats, 3);
  assert_int_equal(c->sections[2].metre.beats, 4);
  char* const got = played(c);
  assert_string_equal(got, "C | Eb | C");
  free(got);
  way_chart_free(c);
}

static void test_a_section_keeps_its_key_where_the_charts_is_found(void** state) {
  (void)state;
  WayChart* const c = chart_of("[A]\n| C | F | G7 | C |\n[B] key: Eb\n| I |");
  assert_false(c->key_given);
  assert_int_equal(way_spelling_pc(c->sections[0].key.tonic), 0);
  assert_int_equal(way_spelling_pc(c->sections[1].key.tonic), 3);
  way_chart_free(c);
}

#define METRE "expected a metre such as 4/4: 1 to 64 beats of 1, 2, 4, 8, 16, 32 or 64"
#define TEMPO                                                                          \
  "expected a tempo from 10 to 1000 quarter notes per minute, with at most three "     \
  "decimals"
#define LINE "expected a bar line '|', a section '[A]' or a header such as 'key:'"

static const ChartRefusal bad[] = {
    {"", 1, 1, WAY_ERR_SYNTAX, "expected a bar such as '| C |'"},
    {"title: x\n", 2, 1, WAY_ERR_SYNTAX, "expected a bar such as '| C |'"},
    {"C | G |", 1, 1, WAY_ERR_SYNTAX, LINE},
    {"| C |\n  12", 2, 3, WAY_ERR_SYNTAX, LINE},
    {"| C |\n2. D", 2, 1, WAY_ERR_SYNTAX, LINE},
    {": C", 1, 1, WAY_ERR_SYNTAX, LINE},
    {" mood: sad\n| C |", 1, 2, WAY_ERR_SYNTAX,
     "expected one of the headers title, key, time, tempo, form"},
    {"key: C\nKEY: D\n| C |", 2, 1, WAY_ERR_SYNTAX, "expected each header only once"},
    {"| C |\nkey: C", 2, 1, WAY_ERR_SYNTAX,
     "expected headers to stand before the first bar"},
    {"[A]\ntempo: 90\n| C |", 2, 1, WAY_ERR_SYNTAX,
     "expected only 'key:' and 'time:' in a section"},
    {"time: 65/4\n| C |", 1, 7, WAY_ERR_RANGE, METRE},
    {"time: 0/4\n| C |", 1, 7, WAY_ERR_RANGE, METRE},
    {"time: 4/3\n| C |", 1, 7, WAY_ERR_RANGE, METRE},
    {"time: 4/128\n| C |", 1, 7, WAY_ERR_RANGE, METRE},
    {"time: 260/260\n| C |", 1, 7, WAY_ERR_RANGE, METRE},
    {"time: 99999999999999999999/4\n| C |", 1, 7, WAY_ERR_RANGE, METRE},
    {"time: 4294967300/4\n| C |", 1, 7, WAY_ERR_RANGE, METRE}, // 4 in 32 bits
    {"time: 4/4x\n| C |", 1, 7, WAY_ERR_RANGE, METRE},
    {"time: 4\n| C |", 1, 7, WAY_ERR_RANGE, METRE},
    {"time:\n| C |", 1, 6, WAY_ERR_RANGE, METRE},
    {"tempo: 9.999\n| C |", 1, 8, WAY_ERR_RANGE, TEMPO},
    {"tempo: 1000.001\n| C |", 1, 8, WAY_ERR_RANGE, TEMPO},
    {"tempo: 90.1234\n| C |", 1, 8, WAY_ERR_RANGE, TEMPO},
    {"tempo: 90.\n| C |", 1, 8, WAY_ERR_RANGE, TEMPO},
    {"tempo: nan\n| C |", 1, 8, WAY_ERR_RANGE, TEMPO},
    {"tempo: -90\n| C |", 1, 8, WAY_ERR_RANGE, TEMPO},
    {"tempo:  9e1\n| C |", 1, 9, WAY_ERR_RANGE, TEMPO},
    {"form:\n[A] | C |", 1, 6, WAY_ERR_SYNTAX, "expected names of sections"},
    {"form: A C\n[A] | C |", 1, 9, WAY_ERR_SYNTAX,
     "expected the name of a section of this chart"},
    {"form: A [Low Tide]\n[A] | C |", 1, 9, WAY_ERR_SYNTAX,
     "expected the name of a section of this chart"},
    {"form: A [B\n[A] | C |", 1, 11, WAY_ERR_SYNTAX,
     "expected ']' behind the section's name"},
    {"form: A\n| D |\n[A] | C |", 2, 3, WAY_ERR_SYNTAX,
     "expected a section's name such as '[A]' before the bars, as 'form:' is given"},
    {"[A\n| C |", 1, 3, WAY_ERR_SYNTAX, "expected ']' behind the section's name"},
    {"[ ]\n| C |", 1, 2, WAY_ERR_SYNTAX, "expected the section's name"},
    {"[A] | C |\n[A] | D |", 2, 1, WAY_ERR_SYNTAX,
     "expected a name that no other section has"},
    {"[A]\n[B] | D |", 1, 1, WAY_ERR_SYNTAX, "expected bars in this section"},
    {"[A] | C |\n[B]\n", 2, 1, WAY_ERR_SYNTAX, "expected bars in this section"},
    {"[0123456789012345678901234567890123456789012345678901234567890123]| C |", 1, 2,
     WAY_ERR_RANGE, "expected a name of at most 63 bytes"},
    {"title: 0123456789012345678901234567890123456789012345678901234567890123\n| C |",
     1, 8, WAY_ERR_RANGE, "expected a title of at most 63 bytes"},
    {"| C |\n; caf\xE9\n", 2, 6, WAY_ERR_SYNTAX,
     "expected UTF-8 text, found a byte that is not"},
    {"| \xE2\x99", 1, 3, WAY_ERR_SYNTAX,
     "expected UTF-8 text, found a byte that is not"},
    {"| C |\n\x01", 2, 1, WAY_ERR_SYNTAX, "expected text, found a control character"},
    {"| C |\n;\x7F", 2, 2, WAY_ERR_SYNTAX, "expected text, found a control character"},
};

static void test_each_refusal_has_its_place(void** state) {
  (void)state;
  expect_all_refused(bad, WAY_COUNT(bad));
  expect_refused("time: 4/4\nkey: H major\n| C |", WAY_ERR_SYNTAX, 2, 6, NULL);
}

static void test_a_zero_byte_has_its_place(void** state) {
  (void)state;
  WayChart* chart = NULL;
  WayError e;
  assert_int_equal(way_chart_read((WayText){"| C |\n| \0 |", 11}, &chart, &e),
                   WAY_ERR_SYNTAX);
  assert_int_equal(e.line, 2);
  assert_int_equal(e.column, 3);
  assert_int_equal(e.byte, 8);
  assert_string_equal(e.message, "expected text, found a control character");
}

static void test_errors_need_not_be_asked_for(void** state) {
  (void)state;
  WayChart* chart = NULL;
  assert_int_equal(way_chart_read(way_text("| H |"), &chart, NULL), WAY_ERR_SYNTAX);
  assert_null(chart);
}

/// `head`, then `piece` n times; to be freed.
static char* text_of(const char* head, const char* piece, size_t n) {
  const size_t size = strlen(piece);
  char* const text = malloc(strlen(head) + n * size + 1);
  assert_non_null(text);
  char* at = text + sprintf(text, "%s", head);
  for (size_t i = 0; i < n; ++i, at += size) memcpy(at, piece, size);
  *at = '\0';
  return text;
}

static void test_long_charts_are_read(void** state) {
  (void)state;
  char* const text = text_of("key: C\n", "| Dm7 G7 | Cmaj7>3 |\n", 60000);
  WayChart* const c = chart_of(text);
  assert_int_equal(c->n_bars, 120000);
  way_chart_free(c);
  free(text);
}

#define FULL                                                                           \
  "expected at most 1000000 bars and as many chords, counting repeats and form"

static void test_forms_have_an_end(void** state) {
  (void)state;
  char* head = text_of("form:", " A", 10000);
  char* const section = text_of(head, "\n[A] | C", 1);
  char* text = text_of(section, "| F ", 99);
  way_chart_free(chart_of(text)); // a million, just
  char* const more = text_of(text, "| G", 1);
  expect_refused(more, WAY_ERR_FULL, 1, 7, FULL);
  free(more);
  free(text);
  free(section);
  free(head);
  head = text_of("form:", " A", 10000);
  char* const bar = text_of(head, "\n[A] |", 1);
  text = text_of(bar, " C", 51);
  char* const two = text_of(text, " |\n| %", 1);
  expect_refused(two, WAY_ERR_FULL, 1, 7, FULL); // few bars, but too many chords
  free(two);
  free(text);
  free(bar);
  free(head);
  head = text_of("form: A", " A", 10000);
  text = text_of(head, "\n[A] | C |", 1);
  expect_refused(text, WAY_ERR_RANGE, 1, 20007,
                 "expected at most 10000 names of sections");
  free(text);
  free(head);
}

static void test_sections_have_an_end(void** state) {
  (void)state;
  char* const text = malloc(20000);
  assert_non_null(text);
  char* at = text;
  for (int i = 0; i <= 1000; ++i) at += sprintf(at, "[%d] | C |\n", i);
  expect_refused(text, WAY_ERR_RANGE, 1001, 1, "expected at most 1000 sections");
  free(text);
}

/// A chart with some of everything.
static const char everything[] =
    "title: Rope Walk\nkey: D\ntime: 4/4\nform: A B A\n[A]\n"
    "|: D | F#m :| V7/V>3 | % |\n[B] key: Bm\n"
    "|: Bm / / A | 1. G :| 2. i |\n";

static void test_no_memory_is_reported_and_nothing_leaks(void** state) {
  (void)state;
  for (long n = 1;; ++n) {
    WayChart* chart = NULL;
    WayError e = {WAY_OK, 0, 0, 0, ""};
    alloc_fail_at(n);
    const WayStatus st = way_chart_read(way_text(everything), &chart, &e);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    if (!failed) {
      assert_int_equal(st, WAY_OK);
      assert_true(n > 4);
      way_chart_free(chart);
      return;
    }
    assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_int_equal(e.status, WAY_ERR_NO_MEMORY);
    assert_null(chart);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_headers_are_read),
      cmocka_unit_test(test_defaults_stand_where_no_header_does),
      cmocka_unit_test(test_the_key_is_found_where_none_is_given),
      cmocka_unit_test(test_a_section_may_have_its_own_key_and_metre),
      cmocka_unit_test(test_a_section_keeps_its_key_where_the_charts_is_found),
      cmocka_unit_test(test_each_refusal_has_its_place),
      cmocka_unit_test(test_a_zero_byte_has_its_place),
      cmocka_unit_test(test_errors_need_not_be_asked_for),
      cmocka_unit_test(test_long_charts_are_read),
      cmocka_unit_test(test_forms_have_an_end),
      cmocka_unit_test(test_sections_have_an_end),
      cmocka_unit_test(test_no_memory_is_reported_and_nothing_leaks),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
