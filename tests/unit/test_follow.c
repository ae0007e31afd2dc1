#include "check.h"
#include "live/follow.h"

#include <math.h>

#define RATE 48000.0

enum { BEAT = WAY_TICKS_PER_QUARTER, BAR = 4 * BEAT };

// Two bars of 4/4: a chord a bar.  One tick a frame makes frames readable.
static const WaySpan spans[] = {{0, 0, {0, 0}, 0}, {BAR, 1, {0, 0}, 0}};
static const WayBar bars[] = {{0, {4, 4}, 0}, {BAR, {4, 4}, 0}};
static const WaySection sections[] = {{"", 0}};
static const WayTimeline two_bars = {.length = 2 * BAR,
                                     .n_spans = 2,
                                     .n_bars = 2,
                                     .n_sections = 1,
                                     .n_harmonies = 2,
                                     .spans = spans,
                                     .bars = bars,
                                     .sections = sections};

static WayFollow follow;

static int start(void** state) {
  (void)state;
  way_follow_init(&follow, RATE);
  way_follow_chart(&follow, &two_bars, 0, 0);
  return 0;
}

static unsigned line(int64_t frame, double tick, double speed) {
  const WayClock clock = {frame, tick, speed};
  return way_follow_line(&follow, &clock);
}

static void test_nothing_is_due_while_stopped(void** state) {
  (void)state;
  assert_true(follow.due == INT64_MAX);
  assert_int_equal(line(5, BAR + 7, 0), WAY_NEWS_JUMP);
  assert_int_equal(follow.place.span, 1);
  assert_true(follow.due == INT64_MAX);
}

static void test_a_start_at_the_top_tells_both(void** state) {
  (void)state;
  assert_int_equal(line(100, 0, 1), WAY_NEWS_JUMP | WAY_NEWS_START | WAY_NEWS_TOP);
  assert_int_equal(follow.due, 100 + BAR);
}

static void test_changes_and_tops_come_on_their_frames(void** state) {
  (void)state;
  line(0, 0, 1);
  assert_int_equal(follow.due, BAR);
  assert_int_equal(way_follow_step(&follow), WAY_NEWS_CHANGE);
  assert_int_equal(follow.place.span, 1);
  assert_int_equal(follow.due, 2 * BAR);
  assert_int_equal(way_follow_step(&follow), WAY_NEWS_CHANGE | WAY_NEWS_TOP);
  assert_int_equal(follow.place.chorus, 1);
}

static void test_a_line_that_agrees_is_no_news(void** state) {
  (void)state;
  line(0, 0, 1);
  assert_int_equal(line(1000, 1000.4, 1), WAY_NEWS_NONE);
  assert_int_equal(follow.clock.frame, 0);
}

static void test_a_correction_repeats_and_skips_nothing(void** state) {
  (void)state;
  line(0, 0, 1);
  way_follow_step(&follow); // the change at BAR has come
  assert_int_equal(line(BAR + 10, BAR - 50, 1), WAY_NEWS_NONE);
  assert_int_equal(follow.due, 2 * BAR + 60);
  assert_int_equal(line(2 * BAR + 50, 2 * BAR + 60, 1), WAY_NEWS_NONE); // over the top
  assert_int_equal(follow.due, 2 * BAR + 50);                           // at once
  assert_int_equal(way_follow_step(&follow), WAY_NEWS_CHANGE | WAY_NEWS_TOP);
}

static void test_a_tempo_change_keeps_the_place(void** state) {
  (void)state;
  line(0, 0, 1);
  assert_int_equal(line(BEAT, BEAT, 2), WAY_NEWS_NONE);
  assert_int_equal(follow.due, BEAT + (BAR - BEAT) / 2);
}

static void test_a_locate_reads_the_place_anew(void** state) {
  (void)state;
  line(0, 0, 1);
  assert_int_equal(line(BAR + BEAT, 0, 1), WAY_NEWS_JUMP | WAY_NEWS_TOP);
  assert_int_equal(line(BAR + 2 * BEAT, BAR + 9, 1), WAY_NEWS_JUMP);
  assert_int_equal(follow.place.span, 1);
}

static void test_the_form_begins_at_tick_0(void** state) {
  (void)state;
  const unsigned started = WAY_NEWS_JUMP | WAY_NEWS_START;
  assert_int_equal(line(0, -2 * BAR, 1), started); // a whole chorus before: no top
  assert_true(follow.before);
  assert_int_equal(follow.place.next, 0);
  assert_int_equal(follow.due, 2 * BAR);
  assert_int_equal(way_follow_step(&follow), WAY_NEWS_CHANGE | WAY_NEWS_TOP);
  assert_false(follow.before);
  assert_int_equal(follow.place.span, 0);
}

static void test_lines_that_are_none_are_ignored(void** state) {
  (void)state;
  line(0, 0, 1);
  assert_int_equal(line(5, NAN, 1), WAY_NEWS_NONE);
  assert_int_equal(line(5, 0, INFINITY), WAY_NEWS_NONE);
  assert_int_equal(line(5, 5, -3), WAY_NEWS_JUMP); // stands still
  assert_false(way_follow_rolls(&follow));
}

static void test_the_early_window_opens_in_beats(void** state) {
  (void)state;
  line(0, 0, 1);
  assert_true(follow.early_frame == INT64_MAX);
  way_follow_early(&follow, 0.5);
  assert_int_equal(follow.early_frame, BAR - BEAT / 2);
  way_follow_step(&follow);
  assert_int_equal(follow.early_frame, 2 * BAR - BEAT / 2);
}

static void test_times_are_counted_in_ticks_while_it_rolls(void** state) {
  (void)state;
  assert_int_equal(way_follow_later(&follow, 100, 0.01), 100 + 480 + 24); // stopped
  line(0, 0, 0.5);
  // 480 frames are 240 ticks; the first frame that is nearer to the tick behind them.
  assert_int_equal(way_follow_later(&follow, 100, 0.01), 2 * (50 + 240 + 1) - 1);
}

/// A host may start a tape from a stand: a tick may last for minutes then.
static void test_times_do_not_stand_still_with_the_music(void** state) {
  (void)state;
  line(0, 0, 1e-6);
  assert_int_equal(way_follow_later(&follow, 100, 0.01), 100 + 480 + 24);
}

static void test_beats_later(void** state) {
  (void)state;
  assert_int_equal(way_follow_beats_later(&follow, 0, 2), 48000 + 24); // a second
  line(0, 0, 1);
  assert_int_equal(way_follow_beats_later(&follow, 100, 2), 100 + 2 * BEAT);
}

static void test_beats_and_strong_ones(void** state) {
  (void)state;
  static const struct {
    double beats;
    bool on, strong;
  } cases[] = {{0, true, true},      {1, true, false},     {2, true, true},
               {3, true, false},     {4, true, true},      {3.9, true, true},
               {0.1, true, true},    {0.13, false, false}, {1.5, false, false},
               {1.86, false, false}, {1.88, true, true}};
  assert_true(way_follow_on_beat(&follow, BEAT / 2, true)); // stopped: always
  line(0, 0, 1);
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const int64_t frame = (int64_t)(cases[i].beats * BEAT);
    assert_int_equal(way_follow_on_beat(&follow, frame, false), cases[i].on);
    assert_int_equal(way_follow_on_beat(&follow, frame, true), cases[i].strong);
  }
}

static void test_six_eighths_have_two_strong_beats(void** state) {
  (void)state;
  static const WayBar bar[] = {{0, {6, 8}, 0}};
  static const WayTimeline one_bar = {.length = 3 * BEAT,
                                      .n_spans = 1,
                                      .n_bars = 1,
                                      .n_sections = 1,
                                      .n_harmonies = 1,
                                      .spans = spans,
                                      .bars = bar,
                                      .sections = sections};
  way_follow_chart(&follow, &one_bar, 0, 0);
  line(0, 0, 1);
  for (int i = 0; i < 12; ++i)
    assert_int_equal(way_follow_on_beat(&follow, i * BEAT / 2, true), i % 3 == 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_nothing_is_due_while_stopped, start),
      cmocka_unit_test_setup(test_a_start_at_the_top_tells_both, start),
      cmocka_unit_test_setup(test_changes_and_tops_come_on_their_frames, start),
      cmocka_unit_test_setup(test_a_line_that_agrees_is_no_news, start),
      cmocka_unit_test_setup(test_a_correction_repeats_and_skips_nothing, start),
      cmocka_unit_test_setup(test_a_tempo_change_keeps_the_place, start),
      cmocka_unit_test_setup(test_a_locate_reads_the_place_anew, start),
      cmocka_unit_test_setup(test_the_form_begins_at_tick_0, start),
      cmocka_unit_test_setup(test_lines_that_are_none_are_ignored, start),
      cmocka_unit_test_setup(test_the_early_window_opens_in_beats, start),
      cmocka_unit_test_setup(test_times_are_counted_in_ticks_while_it_rolls, start),
      cmocka_unit_test_setup(test_times_do_not_stand_still_with_the_music, start),
      cmocka_unit_test_setup(test_beats_later, start),
      cmocka_unit_test_setup(test_beats_and_strong_ones, start),
      cmocka_unit_test_setup(test_six_eighths_have_two_strong_beats, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
