#include "chart/bar_read.h"

#include "chart_text.h"
#include "check.h"

#include <stdlib.h>

static const struct {
  const char *text, *played;
} good[] = {
    // shares
    {"| C |", "C"},
    {"| D/F# G |", "D/F#:2 G:2"},
    {"| Em / / A7 |", "Em:3 A7:1"},
    {"| Em /// |", "Em"},
    {"time: 3/4\n| C / G |", "C:2 G:1"},
    {"time: 3/4\n| C G |", "C:3/2 G:3/2"},
    {"time: 6/8\n| C / G |", "C:4 G:2"},
    {"time: 2/2\n| C / / G |", "C:3/2 G:1/2"},
    {"| C / / / / / / G |", "C:7/2 G:1/2"},
    {"| C Dm Em |", "C:4/3 Dm:4/3 Em:4/3"},
    {"| C7 / |", "C7"},
    // lines, bar lines and comments
    {"| C | D", "C | D"},
    {"| C |\n| D |", "C | D"},
    {"| C\n| D", "C | D"},
    {"| C || D ||", "C | D"},
    {"\t|C|D|;E|\r\n; all\r\n|F|", "C | D | F"},
    {"| N.C. | C |", "N.C. | C"},
    // the bar before
    {"| C G | % | % |", "C:2 G:2 | C:2 G:2 | C:2 G:2"},
    {"[A]\n| C |\n[B]\n| % |", "C | C"},
    {"|: C :| % |", "C | C | C"},
    // repeats
    {"|: C | D :| E |", "C | D | C | D | E"},
    {"|: C :|\n|: D :|", "C | C | D | D"},
    {"|: C :|: D :|", "C | C | D | D"},
    {"|: C :| |: D :|", "C | C | D | D"},
    {"||: C :|| D |", "C | C | D"},
    {"| C | |: D :|", "C | D | D"},
    {"|:\n| C\n:|", "C | C"},
    {"|: C | 1. D :| 2. E | F |", "C | D | C | E | F"},
    {"|: C | 1. D :| 2. E :| F |", "C | D | C | E | F"},
    {"|: C | 1. D | E :| 2. F |: G :|", "C | D | E | C | F | G | G"},
    {"|: C | 1.-3. D :| 4. E |", "C | D | C | D | C | D | C | E"},
    {"|: C | 1-2. D :| 3. E |", "C | D | C | D | C | E"},
    {"|: C | 1.3. D :| 2. E :| F |", "C | D | C | E | C | D | F"},
    {"|: C | 1,3. D :| 2,4. E :| F |", "C | D | C | E | C | D | C | E | F"},
    {"|: C | 1. D :| E |", "C | D | C | E"},
    {"|: 1. C :| 2. D |", "C | D"},
    {"|: C | D :| 1. E | 2. F | G |", "C | D | E | C | D | F | G"},
    {"|: C :| 1. E :| 2. F |", "C | E | C | F"},
    {"|: C :| 1.-2. E | F | 3. G |: A :|", "C | E | F | C | E | F | C | G | A | A"},
    {"|: C :|: D :| 1. E | 2. F |", "C | C | D | E | D | F"},
    {"|: C :|: D :| 1.-2. E | 3. F |", "C | C | D | E | D | E | D | F"},
    // targets: a bare number is the chord's own tone
    {"| G>3 | Gm>3 | G7>7 | G7>#11 | G>R |", "G>3 | Gm>b3 | G7>b7 | G7>#11 | G>1"},
    // numerals
    {"key: D\n| I | V7/V | bVII |", "D | E7 | C"},
    {"key: D\n| V>3 | F#m |", "A>3 | F#m"},
};

static void test_bars_are_played_as_documented(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(good); ++i) {
    WayChart* const c = chart_of(good[i].text);
    char* const got = played(c);
    if (strcmp(got, good[i].played)) fail_msg("%s\nis played %s", good[i].text, got);
    free(got);
    way_chart_free(c);
  }
}

static const ChartRefusal bad[] = {
    {"| C | | D |", 1, 7, WAY_ERR_SYNTAX, "expected a chord, 'N.C.' or '%'"},
    {"| C | 1.", 1, 7, WAY_ERR_SYNTAX, "expected '|:' before an ending"},
    {"|: C | 1.", 1, 10, WAY_ERR_SYNTAX, "expected a chord, 'N.C.' or '%'"},
    {"| C D % |", 1, 7, WAY_ERR_SYNTAX, "expected '%' alone in its bar"},
    {"| C | % D |", 1, 9, WAY_ERR_SYNTAX, "expected '%' alone in its bar"},
    {"| % |", 1, 3, WAY_ERR_SYNTAX, "expected a chord: no bar stands before this one"},
    {"[A]\n| C |\n[B]\ntime: 3/4\n| % |", 5, 3, WAY_ERR_SYNTAX,
     "expected a chord: the bar before is in another metre"},
    {"| / C |", 1, 3, WAY_ERR_SYNTAX, "expected a chord before '/' in its bar"},
    {"| C /E |", 1, 5, WAY_ERR_SYNTAX,
     "expected a blank behind '/', or a chord before it"},
    {"| C |\n| Em / A7 |", 2, 3, WAY_ERR_SYNTAX,
     "expected the chords and '/' of this bar to fill its 4 beats evenly, found 3"},
    {"| >3 |", 1, 3, WAY_ERR_SYNTAX, "expected a chord before '>'"},
    {"| C >3 |", 1, 5, WAY_ERR_SYNTAX, "expected a chord before '>'"},
    {"| N.C.>3 |", 1, 7, WAY_ERR_SYNTAX, "expected a chord before '>'"},
    {"| C>3x |", 1, 6, WAY_ERR_SYNTAX, "expected a degree such as 3, b7 or #11"},
    {"| V7 |", 1, 3, WAY_ERR_SYNTAX,
     "expected a line 'key:' further up: numerals need a key"},
    {"|: C |: D :|", 1, 6, WAY_ERR_SYNTAX, "expected ':|' before another '|:'"},
    {"| C :|", 1, 5, WAY_ERR_SYNTAX, "expected '|:' before ':|'"},
    {"|: C :| D :|", 1, 11, WAY_ERR_SYNTAX, "expected '|:' before ':|'"},
    {"|: C :| :|", 1, 9, WAY_ERR_SYNTAX, "expected '|:' before ':|'"},
    {"|: :|", 1, 4, WAY_ERR_SYNTAX, "expected a bar between '|:' and ':|'"},
    {"| C |\n |: C | D |", 2, 2, WAY_ERR_SYNTAX, "expected ':|' to close this repeat"},
    {"[A]\n|: C |\n[B]\n| D :|", 2, 1, WAY_ERR_SYNTAX,
     "expected ':|' to close this repeat"},
    {"|: C | 1. D | 2. E |", 1, 15, WAY_ERR_SYNTAX,
     "expected ':|' before the next ending"},
    {"|: C | 1. D | E |", 1, 8, WAY_ERR_SYNTAX,
     "expected ':|' to close every ending but the last"},
    {"|: C | 1. D :| 2.3. E | F |", 1, 16, WAY_ERR_SYNTAX,
     "expected ':|' to close every ending but the last"},
    {"|: C | 1.3. D :| 2. E | F |", 1, 18, WAY_ERR_SYNTAX,
     "expected ':|' to close every ending but the last"},
    {"|: C | 1. D :| 1. E |", 1, 16, WAY_ERR_SYNTAX,
     "expected an ending with a number of its own"},
    {"|: C | 1. D :| 3. E |", 1, 1, WAY_ERR_SYNTAX,
     "expected the endings of this repeat to be numbered from 1 without a gap"},
    {"|: C :| 2. D |", 1, 1, WAY_ERR_SYNTAX,
     "expected the endings of this repeat to be numbered from 1 without a gap"},
    {"|: C :| 1. D | E |", 1, 9, WAY_ERR_SYNTAX,
     "expected ':|' to close every ending but the last"},
    {"|: C :| 1. D | 2.3. E | F |", 1, 16, WAY_ERR_SYNTAX,
     "expected ':|' to close every ending but the last"},
    {"|: C :| D | 1. E |", 1, 13, WAY_ERR_SYNTAX, "expected '|:' before an ending"},
    {"|: C | 1. D :| E | 2. F |", 1, 20, WAY_ERR_SYNTAX,
     "expected '|:' before an ending"},
    {"|: C | 0. D :|", 1, 8, WAY_ERR_RANGE,
     "expected the number of an ending, 1 to 16, rising"},
    {"|: C | 99999999999. D :|", 1, 8, WAY_ERR_RANGE,
     "expected the number of an ending, 1 to 16, rising"},
    {"|: C | 3.-1. D :|", 1, 11, WAY_ERR_RANGE,
     "expected the number of an ending, 1 to 16, rising"},
    {"|: C | 1 D :|", 1, 9, WAY_ERR_SYNTAX,
     "expected '.' behind the number of an ending"},
};

static void test_each_refusal_has_its_place(void** state) {
  (void)state;
  expect_all_refused(bad, WAY_COUNT(bad));
}

/// The message is the chord reader's own; the place is the chart's.
static void test_places_inside_symbols_count_from_the_line(void** state) {
  (void)state;
  expect_refused("key: C\n| C | Dm7%b5 |", WAY_ERR_SYNTAX, 2, 10, NULL);
  expect_refused("key: C\n| C | V7/K |", WAY_ERR_SYNTAX, 2, 10, NULL);
  expect_refused("| C | D>y |", WAY_ERR_SYNTAX, 1, 9, NULL);
  expect_refused("| \u266D |", WAY_ERR_SYNTAX, 1, 3, NULL);
}

static void test_a_bar_holds_64_shares(void** state) {
  (void)state;
  char text[400] = "| C ";
  for (int i = 1; i < 64; ++i) strcat(text, "D ");
  WayChart* const c = chart_of(text);
  assert_int_equal(c->bars[0].n_slots, 64);
  way_chart_free(c);
  strcat(text, "E");
  expect_refused(text, WAY_ERR_RANGE, 1, 3,
                 "expected at most 64 chords and '/' in a bar");
  strcpy(text, "| C ");
  memset(text + 4, '/', 64);
  text[68] = '\0';
  expect_refused(text, WAY_ERR_RANGE, 1, 5,
                 "expected at most 64 chords and '/' in a bar");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_bars_are_played_as_documented),
      cmocka_unit_test(test_each_refusal_has_its_place),
      cmocka_unit_test(test_places_inside_symbols_count_from_the_line),
      cmocka_unit_test(test_a_bar_holds_64_shares),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
