#include "live/learning.h"

#include "chords.h"

enum { BAR = 4 * WAY_TICKS_PER_QUARTER, RATE = 1000 };

static WayLearning learning;
static WayFollow follow;
static WaySettings settings;
static WayForm form;
static WayTimeline timelines[2]; // only their addresses count

static int start(void** state) {
  (void)state;
  way_learning_init(&learning);
  way_follow_init(&follow, RATE);
  settings = way_settings_default();
  settings.learn = true;
  form = (WayForm){.metre = {4, 4}, .bars = 2};
  return 0;
}

/// The transport goes on from a bar line.
/// @param speed In ticks a frame.
static void go(int64_t frame, WayTick bar, double speed) {
  const WayTick from = way_follow_tick(&follow, frame);
  const bool rolled = way_follow_rolls(&follow);
  const WayClock clock = {frame, (double)(bar * BAR), speed};
  way_follow_line(&follow, &clock);
  way_learning_jump(&learning, &follow, frame, from, rolled, false);
  way_learning_plan(&learning, &settings, &follow);
}

/// A chord on a bar line, two ticks a frame.
static void play(WayTick bar, const char* symbol) {
  const int64_t frame = bar * BAR / 2;
  while (learning.due <= frame) {
    way_learning_step(&learning, &follow, true);
    way_learning_plan(&learning, &settings, &follow);
  }
  const WayChord c = chord_named(symbol);
  const uint16_t sound = way_form_sound(way_chord_pcs(&c), way_spelling_pc(c.bass));
  way_learning_hear(&learning, &follow, frame, &c, sound, false);
}

// docs/guide.md: it learns where there is no chart, and from chords that are heard.
static void test_when_it_learns(void** state) {
  (void)state;
  assert_true(way_learning_on(&learning, &settings));
  learning.unmeasured = true;
  assert_false(way_learning_on(&learning, &settings));
  learning.unmeasured = false;
  learning.chart = timelines;
  assert_false(way_learning_on(&learning, &settings));
  learning.chart = NULL;
  settings.source = WAY_SOURCE_CHART;
  assert_false(way_learning_on(&learning, &settings));
  settings.source = WAY_SOURCE_HELD;
  settings.learn = false;
  assert_false(way_learning_on(&learning, &settings));
}

static void test_a_chart_is_wanted_before_a_form(void** state) {
  (void)state;
  assert_null(way_learning_wanted(&learning, &settings));
  way_learning_recall(&learning, &form, &timelines[1]);
  assert_ptr_equal(way_learning_wanted(&learning, &settings), &timelines[1]);
  learning.chart = &timelines[0];
  assert_ptr_equal(way_learning_wanted(&learning, &settings), &timelines[0]);
  learning.chart = NULL;
  settings.learn = false;
  assert_null(way_learning_wanted(&learning, &settings));
}

static void test_a_form_is_wanted_in_its_metre_by_its_number(void** state) {
  (void)state;
  way_learning_recall(&learning, &form, NULL);
  assert_null(way_learning_wanted(&learning, &settings));
  const uint32_t number = learning.learn.number;
  assert_true(way_learning_wants(&learning, number));
  assert_false(way_learning_wants(&learning, number + 1));
  way_learning_take(&learning, number + 1, timelines);
  assert_null(way_learning_wanted(&learning, &settings));
  way_learning_take(&learning, number, timelines);
  assert_ptr_equal(way_learning_wanted(&learning, &settings), timelines);
  learning.learn.metre = (WayMetre){3, 4};
  assert_null(way_learning_wanted(&learning, &settings));
}

static void test_bar_lines_come_at_their_frames(void** state) {
  (void)state;
  assert_true(learning.due == INT64_MAX);
  go(0, 0, 2);
  assert_int_equal(learning.due, BAR / 2);
  way_learning_step(&learning, &follow, false);
  way_learning_plan(&learning, &settings, &follow);
  assert_int_equal(learning.due, 2 * BAR / 2);
  assert_near(learning.learn.tempo, 60.0 * 2 * RATE / WAY_TICKS_PER_QUARTER, 1e-9);
  go(BAR, 2, 0); // it stands
  assert_true(learning.due == INT64_MAX);
  settings.learn = false;
  go(BAR, 2, 2);
  assert_true(learning.due == INT64_MAX);
}

static void test_a_chord_counts_from_where_the_transport_began(void** state) {
  (void)state;
  go(10000, 3, 2);
  const WayChord f = chord_named("F"), c = chord_named("C");
  way_learning_hear(&learning, &follow, 10000, &f, 5, false);
  way_learning_hear(&learning, &follow, 0, &c, 0, true); // it began before the start
  way_learning_step(&learning, &follow, true);
  const WayLearn* const l = &learning.learn;
  assert_true(l->first == 3 && l->n == 1);
  for (unsigned beat = 12; beat < 16; ++beat)
    assert_true(way_chord_equal(&l->chords.chords[l->beats[beat] & 0x3F], &c));
}

static void test_learning_begins_where_it_is_turned_on(void** state) {
  (void)state;
  const WayClock clock = {0, 0, 2};
  way_follow_line(&follow, &clock);
  way_learning_begin(&learning, &settings, &follow, 5 * BAR / 2, false);
  assert_int_equal(learning.due, 6 * BAR / 2);
  settings.learn = false;
  way_learning_begin(&learning, &settings, &follow, 7 * BAR / 2, false);
  assert_true(learning.due == INT64_MAX);
}

// A loop in a host: it plays, stops for an instant and is at the start again.
static void test_a_short_stop_is_part_of_a_loop(void** state) {
  static const struct {
    int64_t stop; // in frames
    bool known;
  } cases[] = {{0, true}, {RATE / 10, true}, {RATE / 10 + 1, false}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    start(state);
    go(0, 0, 2);
    play(0, "C");
    play(1, "F");
    const int64_t end = 2 * BAR / 2;
    if (cases[i].stop) go(end, 2, 0);
    go(end + cases[i].stop, 0, 2);
    assert_int_equal(learning.learn.known, cases[i].known);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_when_it_learns, start),
      cmocka_unit_test_setup(test_a_chart_is_wanted_before_a_form, start),
      cmocka_unit_test_setup(test_a_form_is_wanted_in_its_metre_by_its_number, start),
      cmocka_unit_test_setup(test_bar_lines_come_at_their_frames, start),
      cmocka_unit_test_setup(test_a_chord_counts_from_where_the_transport_began, start),
      cmocka_unit_test_setup(test_learning_begins_where_it_is_turned_on, start),
      cmocka_unit_test_setup(test_a_short_stop_is_part_of_a_loop, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
