#include "time/timeline.h"

#include "check.h"
#include "rng.h"

#define BAR (4 * (WayTick)WAY_TICKS_PER_QUARTER)
#define MOST 40u

/// A timeline with its arrays.  The harmonies are never looked at, only numbered.
typedef struct {
  WaySpan spans[MOST];
  WayBar bars[MOST];
  WaySection sections[MOST];
  WayTimeline t;
} Form;

static void form_seal(Form* f, uint32_t spans, uint32_t bars, uint32_t sections) {
  f->t.n_spans = spans;
  f->t.n_bars = bars;
  f->t.n_sections = sections;
  f->t.spans = f->spans;
  f->t.bars = f->bars;
  f->t.sections = f->sections;
  const WayBar* const last = &f->bars[bars - 1];
  f->t.length = last->start + way_metre_bar(last->metre);
}

/// Four bars of 4/4, sections of two, a chord on each beat given; harmonies as listed.
static void form_of(Form* f, const uint32_t* harmonies, const int* beats, uint32_t n) {
  memset(f, 0, sizeof(*f));
  for (uint32_t i = 0; i < 4; ++i) f->bars[i] = (WayBar){i * BAR, {4, 4}, i / 2};
  f->sections[1].first_bar = 2;
  for (uint32_t i = 0; i < n; ++i)
    f->spans[i] = (WaySpan){beats[i] * (BAR / 4), harmonies[i], {0, 0}, 0};
  form_seal(f, n, 4, 2);
}

static void test_the_form_repeats_both_ways(void** state) {
  (void)state;
  Form f;
  form_of(&f, (const uint32_t[]){0, 1, 2}, (const int[]){0, 6, 8}, 3);
  WayPlace p = way_timeline_at(&f.t, 9 * BAR + 5);
  assert_int_equal(p.chorus, 2);
  assert_int_equal(p.bar, 1);
  assert_int_equal(p.in_bar, 5);
  assert_int_equal(p.span, 0);
  assert_int_equal(p.next, 1);
  assert_int_equal(p.since, BAR + 5);
  assert_int_equal(p.until, BAR / 2 - 5);
  assert_int_equal(p.section, 0);
  p = way_timeline_at(&f.t, -1);
  assert_int_equal(p.chorus, -1);
  assert_int_equal(p.tick, 4 * BAR - 1);
  assert_int_equal(p.span, 2);
  assert_int_equal(p.next, 0);
  assert_int_equal(p.until, 1);
  assert_int_equal(p.section, 1);
}

static void test_an_equal_last_chord_rings_over_the_top(void** state) {
  (void)state;
  Form f;
  form_of(&f, (const uint32_t[]){0, 1, 0}, (const int[]){0, 4, 12}, 3);
  const WayPlace p = way_timeline_at(&f.t, 0);
  assert_int_equal(p.since, BAR);
  assert_int_equal(way_timeline_next_change(&f.t, 3 * BAR), 5 * BAR);
  f.spans[0].target = (WayDegree){3, 0}; // a landing of its own
  assert_int_equal(way_timeline_at(&f.t, 0).since, 0);
  assert_int_equal(way_timeline_next_change(&f.t, 3 * BAR), 4 * BAR);
}

static void test_a_form_of_one_chord_never_changes(void** state) {
  (void)state;
  Form f;
  form_of(&f, (const uint32_t[]){0}, (const int[]){0}, 1);
  const WayPlace p = way_timeline_at(&f.t, 6 * BAR);
  assert_int_equal(p.next, p.span);
  assert_int_equal(p.until, 0);
  assert_int_equal(way_timeline_next_change(&f.t, 0), INT64_MAX);
  assert_int_equal(way_timeline_span_for(&f.t, 0, BAR), 0);
}

static void test_the_early_window_belongs_to_the_next_chord(void** state) {
  (void)state;
  Form f;
  form_of(&f, (const uint32_t[]){0, 1}, (const int[]){0, 8}, 2);
  assert_int_equal(way_timeline_span_for(&f.t, 2 * BAR - 100, 100), 1);
  assert_int_equal(way_timeline_span_for(&f.t, 2 * BAR - 101, 100), 0);
  assert_int_equal(way_timeline_span_for(&f.t, 2 * BAR - 1, 0), 0);
  assert_int_equal(way_timeline_span_for(&f.t, 4 * BAR - 1, 1), 0); // over the top
}

static void test_the_ends_of_time(void** state) {
  (void)state;
  Form f;
  form_of(&f, (const uint32_t[]){0, 1}, (const int[]){0, 8}, 2);
  static const WayTick ends[] = {INT64_MIN, INT64_MAX};
  for (size_t i = 0; i < WAY_COUNT(ends); ++i) {
    const WayPlace p = way_timeline_at(&f.t, ends[i]);
    assert_in_range((uint64_t)p.tick, 0, (uint64_t)f.t.length - 1);
    assert_in_range((uint64_t)p.until, 1, (uint64_t)f.t.length);
  }
  assert_int_equal(way_timeline_next_change(&f.t, INT64_MAX), INT64_MAX);
}

/// A form of random metres, sections, chords and targets.
static void form_random(Form* f, uint32_t* rng) {
  memset(f, 0, sizeof(*f));
  const uint32_t bars = 1 + rng_below(rng, MOST);
  WayTick start = 0;
  uint32_t sections = 0, spans = 0;
  for (uint32_t i = 0; i < bars; ++i) {
    WayMetre metre = {0, 4};
    metre.beats = (uint8_t)(1 + rng_below(rng, 7));
    if (rng_below(rng, 3) == 0) metre.unit = 8;
    if (!i || rng_below(rng, 4) == 0) f->sections[sections++].first_bar = i;
    f->bars[i] = (WayBar){start, metre, sections - 1};
    const uint32_t harmony = rng_below(rng, 3);
    const bool target = rng_below(rng, 4) == 0;
    if (!spans || f->spans[spans - 1].harmony != harmony || target) {
      const WayTick late = spans ? rng_below(rng, (uint32_t)way_metre_bar(metre)) : 0;
      f->spans[spans++] = (WaySpan){start + late, harmony, {target ? 3 : 0, 0}, 0};
    }
    start += way_metre_bar(metre);
  }
  form_seal(f, spans, bars, sections);
}

/// The model: every span of three choruses in a row, walked from the left.
static void expect_as_scanned(const Form* f, WayTick tick, uint32_t seed) {
  const WayTimeline* const t = &f->t;
  const WayPlace p = way_timeline_at(t, tick);
  WayTick began = INT64_MIN, change = INT64_MAX; // the last and the next change
  uint32_t span = 0, next = 0, harmony = UINT32_MAX;
  bool found = false;
  for (WayTick lap = -2; lap <= 3; ++lap)
    for (uint32_t i = 0; i < t->n_spans && !found; ++i) {
      const WayTick at = lap * t->length + t->spans[i].start;
      const bool is_change =
          t->spans[i].harmony != harmony || t->spans[i].target.number != 0;
      harmony = t->spans[i].harmony;
      if (at <= tick) span = i;
      if (is_change && at <= tick) began = at;
      if (is_change && at > tick) {
        change = at;
        next = i;
        found = true;
      }
    }
  uint32_t bar = 0;
  while (bar + 1 < t->n_bars && t->bars[bar + 1].start <= p.tick) ++bar;
  const bool same =
      p.span == span && p.bar == bar && p.section == t->bars[bar].section &&
      p.chorus * t->length + p.tick == tick &&
      p.in_bar == p.tick - t->bars[bar].start &&
      way_timeline_next_change(t, tick) == change &&
      (found ? p.next == next && p.until == change - tick && p.since == tick - began
             : p.next == span && !p.until);
  if (!same) fail_msg("seed %u: tick %lld", seed, (long long)tick);
}

static void test_look_up_agrees_with_a_scan(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 2000; ++seed) {
    uint32_t rng = seed;
    Form f;
    form_random(&f, &rng);
    for (int i = 0; i < 20; ++i) {
      const WayTick tick = rng_below(&rng, (uint32_t)(2 * f.t.length));
      expect_as_scanned(&f, tick - f.t.length, seed);
    }
    for (uint32_t i = 0; i < f.t.n_spans; ++i) {
      expect_as_scanned(&f, f.spans[i].start, seed);
      expect_as_scanned(&f, f.spans[i].start - 1, seed);
    }
  }
}

static void test_spans_and_bars_end_where_the_next_begins(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 200; ++seed) {
    uint32_t rng = seed;
    Form f;
    form_random(&f, &rng);
    for (uint32_t i = 0; i < f.t.n_spans; ++i) {
      const WayTick end = way_timeline_span_end(&f.t, i);
      const bool same = way_timeline_at(&f.t, end - 1).span == i &&
                        way_timeline_at(&f.t, end).span == (i + 1) % f.t.n_spans;
      if (!same) fail_msg("seed %u: span %u ends at %lld", seed, i, (long long)end);
    }
    for (uint32_t i = 0; i < f.t.n_bars; ++i)
      if (way_timeline_bar_end(&f.t, i) - f.t.bars[i].start !=
          way_metre_bar(f.t.bars[i].metre))
        fail_msg("seed %u: bar %u", seed, i);
  }
}

static void test_metres_of_one_length_are_not_equal(void** state) {
  (void)state;
  assert_true(way_metre_equal((WayMetre){6, 8}, (WayMetre){6, 8}));
  assert_false(way_metre_equal((WayMetre){6, 8}, (WayMetre){3, 4}));
  assert_false(way_metre_equal((WayMetre){3, 4}, (WayMetre){4, 4}));
}

// Common practice, no source.
static void test_strong_beats(void** state) {
  (void)state;
  static const struct {
    WayMetre metre;
    const char* strong; // a digit for each beat
  } cases[] = {{{2, 4}, "10"},        {{3, 4}, "100"},          {{4, 4}, "1010"},
               {{5, 4}, "10000"},     {{6, 8}, "100100"},       {{1, 4}, "1"},
               {{9, 8}, "100000000"}, {{12, 8}, "100000100000"}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    for (unsigned beat = 0; beat < cases[i].metre.beats; ++beat)
      assert_int_equal(way_metre_strong(cases[i].metre, beat),
                       cases[i].strong[beat] == '1');
}

// Common practice, no source: 6/8 goes in two, 9/8 in three, 12/8 in four; 3/8 and 3/4
// are simple metres.
static void test_groups_of_compound_metres(void** state) {
  (void)state;
  static const struct {
    WayMetre metre;
    unsigned group;
  } cases[] = {{{6, 8}, 3}, {{9, 8}, 3}, {{12, 8}, 3}, {{6, 16}, 3}, {{3, 8}, 1},
               {{3, 4}, 1}, {{6, 4}, 1}, {{4, 4}, 1},  {{7, 8}, 1},  {{8, 8}, 1}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_int_equal(way_metre_group(cases[i].metre), cases[i].group);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_strong_beats),
      cmocka_unit_test(test_groups_of_compound_metres),
      cmocka_unit_test(test_metres_of_one_length_are_not_equal),
      cmocka_unit_test(test_spans_and_bars_end_where_the_next_begins),
      cmocka_unit_test(test_the_form_repeats_both_ways),
      cmocka_unit_test(test_an_equal_last_chord_rings_over_the_top),
      cmocka_unit_test(test_a_form_of_one_chord_never_changes),
      cmocka_unit_test(test_the_early_window_belongs_to_the_next_chord),
      cmocka_unit_test(test_the_ends_of_time),
      cmocka_unit_test(test_look_up_agrees_with_a_scan),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
