#include "chart/chart_write.h"

#include "alloc.h"
#include "chart/chart_unroll.h"
#include "chart_random.h"
#include "chart_text.h"
#include "check.h"
#include "rng.h"

#include <stdlib.h>

static char* written(const WayChart* c) {
  char* text = NULL;
  assert_int_equal(way_chart_write(c, &text), WAY_OK);
  return text;
}

static void test_the_layout_is_fixed(void** state) {
  (void)state;
  WayChart* const c = chart_of(
      "TITLE:Slack Tide;x\nkey:d\ntime:4/4\ntempo:92.50\nform:A [Low Water] A\n[A]|Dm|"
      "Gm7>b3 / / A7|%|C-7/Bb|iv|:F|1-2.F:|3.C:|G\n[Low "
      "Water]\nkey:F\ntime:3/4\n|bVII");
  char* const text = written(c);
  assert_string_equal(text, "title: Slack Tide\n"
                            "key: D minor\n"
                            "time: 4/4\n"
                            "tempo: 92.5\n"
                            "form: A [Low Water] A\n"
                            "\n"
                            "[A]\n"
                            "| Dm | Gm7>b3 / / A7 | % | Cm7/Bb |\n"
                            "| iv |\n"
                            "|: F | 1.2. F :| 3. C :| G |\n"
                            "\n"
                            "[Low Water]\n"
                            "key: F major\n"
                            "time: 3/4\n"
                            "| bVII |\n");
  free(text);
  way_chart_free(c);
}

static void test_what_is_written_reads_as_the_same(void** state) {
  (void)state;
  static char text[8192];
  for (uint32_t seed = 1; seed <= 3000; ++seed) {
    uint32_t rng = seed;
    chart_random(&rng, text, sizeof(text));
    WayChart* const c = chart_of(text);
    char* const once = written(c);
    WayChart* const again = chart_of(once);
    char* const twice = written(again);
    if (!chart_equal(c, again) || strcmp(once, twice))
      fail_msg("seed %u:\n%s\nis written\n%s", seed, text, once);
    free(once);
    free(twice);
    way_chart_free(c);
    way_chart_free(again);
  }
}

static void test_bars_that_repeat_the_one_before(void** state) {
  (void)state;
  static const char* const cases[][2] = {
      {"| C | C | C | C | C | C |",
       "| C | % | % | % |\n| C | % |\n"}, // lines begin anew
      {"| C F | C F | F C |", "| C F | % | F C |\n"},
      {"| C / / F | C F | C / / F |", "| C / / F | C F | C / / F |\n"},
      {"| C | N.C. | N.C. |", "| C | N.C. | % |\n"},
      {"[A]\n| C |\n[B]\n| C | C |", "[A]\n| C |\n\n[B]\n| C | % |\n"},
      {"| C |: C | C :| C |", "| C |\n|: C | % :| C |\n"},
      {"| C |: F | 1. F :| 2. F |", "| C |\n|: F | 1. F :| 2. F |\n"},
      {"key: C\n| I | I | C |", "key: C major\n\n| I | % | C |\n"},
      // A chord that is held is not planned for twice, one that returns is.
      {"key: C\n| C>5 | C |", "key: C major\n\n| C>5 | % |\n"},
      {"key: C\n| C>5 | C>5 |", "key: C major\n\n| C>5 | C>5 |\n"},
      {"key: C\n| C>5 F | C F |", "key: C major\n\n| C>5 F | C F |\n"},
      {"key: C\n| C>5 F | C>5 F |", "key: C major\n\n| C>5 F | % |\n"},
      {"key: C\n| C F>3 | C F |", "key: C major\n\n| C F>3 | C F |\n"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChart* const c = chart_of(cases[i][0]);
    way_chart_abbreviate(c);
    char* const text = written(c);
    assert_string_equal(text, cases[i][1]);
    free(text);
    way_chart_free(c);
  }
}

/// A chart of few bars that often repeat each other.
static void random_bars(uint32_t* rng, WayOut* out) {
  static const char* const bars[] = {" C |",       " C |",     " C>5 |",     " C F |",
                                     " C>5 F |",   " C F C |", " F |",       " N.C. |",
                                     " C>5 F C |", " % |",     " Am / / G |"};
  if (rng_below(rng, 2)) way_out_str(out, "key: C\n");
  for (unsigned section = 0; section < 2; ++section) {
    way_out_str(out, section ? "\n[B]\n| C |" : "[A]\n| C |");
    for (uint32_t n = rng_below(rng, 12); n; --n)
      way_out_str(out, bars[rng_below(rng, WAY_COUNT(bars))]);
  }
}

static bool play_alike(const WayTimeline* a, const WayTimeline* b) {
  bool same = a->n_spans == b->n_spans && a->length == b->length;
  for (uint32_t i = 0; same && i < a->n_spans; ++i)
    same = a->spans[i].start == b->spans[i].start &&
           a->spans[i].target.number == b->spans[i].target.number &&
           a->spans[i].target.alter == b->spans[i].target.alter &&
           way_chord_equal(&way_timeline_harmony(a, i)->chord,
                           &way_timeline_harmony(b, i)->chord);
  return same;
}

static void test_what_is_abbreviated_plays_the_same(void** state) {
  (void)state;
  unsigned shorter = 0;
  for (uint32_t seed = 1; seed <= 4000; ++seed) {
    uint32_t rng = seed;
    char text[8192];
    WayOut out = way_out(text, sizeof(text));
    if (seed % 4)
      random_bars(&rng, &out);
    else
      chart_random(&rng, text, sizeof(text));
    WayChart* const c = chart_of(text);
    WayTimeline *before = NULL, *after = NULL;
    assert_int_equal(way_chart_unroll(c, &before), WAY_OK);
    char* const as_it_was = written(c);
    way_chart_abbreviate(c);
    char* const now = written(c);
    WayChart* const again = chart_of(now);
    assert_int_equal(way_chart_unroll(again, &after), WAY_OK);
    if (!chart_equal(c, again) || !play_alike(before, after))
      fail_msg("seed %u:\n%s\nis abbreviated\n%s", seed, text, now);
    shorter += strcmp(as_it_was, now) != 0;
    free(as_it_was);
    free(now);
    way_timeline_free(before);
    way_timeline_free(after);
    way_chart_free(c);
    way_chart_free(again);
  }
  assert_true(shorter > 1000);
}

static void test_no_memory_is_reported(void** state) {
  (void)state;
  WayChart* const c = chart_of("| C | F |\n| C | F |");
  for (long n = 1;; ++n) {
    char* text = NULL;
    alloc_fail_at(n);
    const WayStatus st = way_chart_write(c, &text);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    assert_true(failed == !text);
    free(text);
    if (!failed) break;
  }
  way_chart_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_layout_is_fixed),
      cmocka_unit_test(test_what_is_written_reads_as_the_same),
      cmocka_unit_test(test_bars_that_repeat_the_one_before),
      cmocka_unit_test(test_what_is_abbreviated_plays_the_same),
      cmocka_unit_test(test_no_memory_is_reported),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
