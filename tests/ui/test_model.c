// What the window does with what a player does, and with what the guide tells.
#include "../../plugin/ui/model.h"
#include "check.h"
#include "rng.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/// What the model asked its host for.
typedef struct {
  WayModel* m;
  unsigned writes, touches, lets, texts, files, looks;
  WayControl control;
  float value;
  bool held, path, has_files;
  char text[512], look[512];
} Asked;

static void set_control(void* to, WayControl control, float value) {
  Asked* const a = to;
  ++a->writes;
  a->control = control;
  a->value = value;
}

static void touch(void* to, WayControl control, bool held) {
  Asked* const a = to;
  (void)control;
  a->touches += held;
  a->lets += !held;
  a->held = held;
}

static void set_text(void* to, WayModelText what, WayText text) {
  Asked* const a = to;
  if (what == WAY_MODEL_LOOK) {
    ++a->looks;
    snprintf(a->look, sizeof(a->look), "%.*s", (int)text.size, text.at);
    return;
  }
  ++a->texts;
  a->path = what == WAY_MODEL_FILE;
  snprintf(a->text, sizeof(a->text), "%.*s", (int)text.size, text.at);
}

static bool ask_file(void* to) {
  Asked* const a = to;
  a->files += a->has_files;
  return a->has_files;
}

static void chart(Asked* a, const char* text) {
  const WayNews news = {.kind = WAY_NEWS_CHART_TEXT, .text = way_text(text)};
  way_model_news(a->m, &news, 0);
}

static void start(Asked* a, const char* text) {
  *a = (Asked){.writes = 0};
  const WayModelHost host = {a, set_control, touch, set_text, ask_file};
  a->m = way_model_new(&host);
  assert_non_null(a->m);
  chart(a, text);
  way_model_update(a->m, 900, 420, 0);
}

static void key(Asked* a, uint32_t key, bool shift, bool ctrl) {
  const WayUiInput in = {
      .kind = WAY_INPUT_KEY, .key = key, .shift = shift, .ctrl = ctrl};
  way_model_input(a->m, &in);
  way_model_update(a->m, 900, 420, 0);
}

static void typed(Asked* a, const char* text) {
  for (; *text; ++text) key(a, (unsigned char)*text, false, false);
}

/// The middle of a choice at the screen's lower edge.
static void middle(const Asked* a, WayChoiceId id, double* x, double* y) {
  const WayBox b = way_screen_item_box(&a->m->layout, &a->m->screen, id);
  *x = b.x + b.width / 2;
  *y = b.y + b.height / 2;
}

static void point(Asked* a, WayUiInputKind kind, double x, double y, unsigned button,
                  int wheel) {
  WayUiInput in = {.x = x, .y = y, .button = button, .wheel = wheel};
  in.kind = kind;
  way_model_input(a->m, &in);
}

/// A message of place.
static WayNews place(WayTick tick, double speed) {
  return (WayNews){.kind = WAY_NEWS_PLACE,
                   .tick = tick,
                   .speed = speed,
                   .from = WAY_CHORD_FROM_CHART};
}

static void test_keys_turn_choices_and_undo_takes_back(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  key(&a, 'h', false, false);
  assert_int_equal(a.control, WAY_CONTROL_HANDLING);
  assert_float_equal(a.value, 1, 0);
  key(&a, 'h', false, false);
  key(&a, 'H', true, false);
  assert_float_equal(a.value, 1, 0);
  key(&a, WAY_KEY_UP, false, false); // keys go on with it
  assert_float_equal(a.value, 2, 0);
  assert_int_equal(a.writes, 4);
  for (int i = 0; i < 4; ++i) key(&a, 'u', false, false);
  assert_float_equal(a.value, 0, 0);
  assert_int_equal(a.writes, 8);
  key(&a, 'u', false, false);
  assert_int_equal(a.writes, 8);
  assert_non_null(a.m->screen.notice);
  assert_int_equal(a.looks, 0);
  key(&a, 'v', false, false); // no control: a text the guide keeps
  assert_int_equal(a.writes, 8);
  assert_int_equal(a.m->screen.look.view, WAY_VIEW_STAGE);
  assert_int_equal(a.looks, 1);
  assert_non_null(strstr(a.look, "view: stage"));
  way_model_free(a.m);
}

static void test_a_stage_is_one_step(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  key(&a, 'm', false, false);
  key(&a, '5', false, false);
  assert_float_equal(a.m->values[WAY_CHOICE_MATERIAL], WAY_MATERIAL_CHORD_SCALE, 0);
  assert_float_equal(a.m->values[WAY_CHOICE_HELD], 1, 0);
  assert_non_null(strstr(a.m->screen.notice, "5 Turn with the chord. "));
  const unsigned writes = a.writes;
  assert_int_equal(writes, 3); // only what it changes
  key(&a, '5', false, false);
  assert_int_equal(a.writes, writes);
  key(&a, 'u', false, false);
  assert_float_equal(a.m->values[WAY_CHOICE_MATERIAL], WAY_MATERIAL_ALL, 0);
  assert_float_equal(a.m->values[WAY_CHOICE_HELD], 0, 0);
  key(&a, 'u', false, false);
  assert_float_equal(a.m->values[WAY_CHOICE_MATERIAL], WAY_MATERIAL_CHORD_SCALE, 0);
  assert_int_equal(a.m->n_undo, 0);
  way_model_free(a.m);
}

/// What the stage is said to be at the lower edge.
static void check_stage(Asked* a, const char* said) {
  way_model_update(a->m, 480, 270, 0);
  assert_string_equal(a->m->items[WAY_CHOICE_STAGE].label, "stage");
  assert_string_equal(a->m->items[WAY_CHOICE_STAGE].value, said);
}

static void test_a_stage_is_turned_like_all_else(void** state) {
  (void)state;
  Asked a;
  double x, y;
  start(&a, "| D | G |");
  check_stage(&a, "own");
  middle(&a, WAY_CHOICE_STAGE, &x, &y);
  point(&a, WAY_INPUT_WHEEL, x, y, 0, 1);
  check_stage(&a, "1");
  assert_float_equal(a.m->values[WAY_CHOICE_MATERIAL], WAY_MATERIAL_PENTATONIC, 0);
  assert_int_equal(a.m->focus, WAY_SCREEN_NO_ITEM);
  middle(&a, WAY_CHOICE_STAGE, &x, &y);
  point(&a, WAY_INPUT_PRESS, x, y, 3, 0);
  point(&a, WAY_INPUT_RELEASE, x, y, 3, 0);
  check_stage(&a, "8");
  assert_int_equal(a.m->screen.focus, WAY_CHOICE_STAGE);
  key(&a, WAY_KEY_UP, false, false);
  key(&a, WAY_KEY_UP, false, false);
  key(&a, 'w', false, false);
  check_stage(&a, "3");
  assert_float_equal(a.m->values[WAY_CHOICE_HANDLING], 1, 0);
  key(&a, 'h', false, false); // no stage does so
  check_stage(&a, "own");
  way_model_control(a.m, WAY_CONTROL_HANDLING, 1); // the host
  check_stage(&a, "3");
  way_model_update(a.m, 1280, 720, 0); // room for its name
  assert_string_equal(a.m->items[WAY_CHOICE_STAGE].value, "3 The bare triad");
  way_model_scale(a.m, 2); // and none
  way_model_update(a.m, 1280, 720, 0);
  assert_string_equal(a.m->items[WAY_CHOICE_STAGE].value, "3");
  way_model_scale(a.m, 1);
  assert_int_equal(a.m->n_undo, 6);
  for (int i = 0; i < 4; ++i) key(&a, 'u', false, false);
  check_stage(&a, "8");
  key(&a, 'u', false, false);
  check_stage(&a, "1");
  key(&a, 'u', false, false);
  check_stage(&a, "own");
  assert_float_equal(a.m->values[WAY_CHOICE_MATERIAL], WAY_MATERIAL_CHORD_SCALE, 0);
  assert_float_equal(a.m->values[WAY_CHOICE_EARLY], 0, 0);
  way_model_free(a.m);
}

static void test_a_stage_is_dragged_and_comes_back(void** state) {
  (void)state;
  Asked a;
  double x, y;
  start(&a, "| D | G |");
  key(&a, 'm', false, false);
  key(&a, 'E', true, false); // at its end already: no step
  check_stage(&a, "own");
  middle(&a, WAY_CHOICE_STAGE, &x, &y);
  point(&a, WAY_INPUT_PRESS, x, y, 1, 0);
  assert_int_equal(a.touches, 5); // all that stages set
  point(&a, WAY_INPUT_MOVE, x, y - 6 * 14, 1, 0);
  check_stage(&a, "6");
  assert_float_equal(a.value, 0.5f, 0);
  point(&a, WAY_INPUT_MOVE, x, y, 1, 0); // where it was taken: all as it was
  check_stage(&a, "own");
  assert_float_equal(a.m->values[WAY_CHOICE_MATERIAL], WAY_MATERIAL_ALL, 0);
  assert_float_equal(a.m->values[WAY_CHOICE_EARLY], 0, 0);
  point(&a, WAY_INPUT_MOVE, x, y - 3 * 14, 1, 0);
  point(&a, WAY_INPUT_RELEASE, x, y - 5 * 14, 1, 0);
  assert_int_equal(a.lets, 5);
  check_stage(&a, "5");
  assert_float_equal(a.m->values[WAY_CHOICE_HANDLING], 0, 0);
  assert_int_equal(a.m->n_undo, 2);
  key(&a, 'u', false, false);
  check_stage(&a, "own");
  assert_float_equal(a.m->values[WAY_CHOICE_MATERIAL], WAY_MATERIAL_ALL, 0);
  assert_float_equal(a.m->values[WAY_CHOICE_HELD], 0, 0);
  way_model_free(a.m);
}

static void test_a_choice_is_not_hidden_by_a_notice(void** state) {
  (void)state;
  Asked a;
  double x, y;
  start(&a, "| D | G |");
  key(&a, '2', false, false);
  assert_non_null(a.m->screen.notice);
  key(&a, WAY_KEY_RIGHT, false, false); // on from the stage
  assert_null(a.m->screen.notice);
  assert_int_equal(a.m->screen.focus, WAY_CHOICE_HANDLING);
  key(&a, '2', false, false); // told again, though nothing changes
  assert_non_null(a.m->screen.notice);
  middle(&a, WAY_CHOICE_CLICK, &x, &y);
  point(&a, WAY_INPUT_PRESS, x, y, 1, 0);
  way_model_update(a.m, 900, 420, 0);
  assert_null(a.m->screen.notice);
  way_model_free(a.m);
}

/// What the guide says of tags, as `now` is reached.
static void tell_tags(Asked* a, bool refused, double now) {
  WayNews n = place(0, 0);
  n.tags_refused = refused;
  way_model_news(a->m, &n, now);
  way_model_update(a->m, 900, 420, now);
}

static void test_tags_that_are_refused_are_told_and_stay_named(void** state) {
  (void)state;
  Asked a;
  double x, y;
  start(&a, "| D | G |");
  tell_tags(&a, false, 1);
  const uint32_t n = a.m->screen.n_items;
  assert_null(a.m->screen.notice);
  tell_tags(&a, true, 2);
  assert_non_null(strstr(a.m->screen.notice, "Tags refused"));
  assert_non_null(strstr(a.m->screen.notice, "notes keep their channels"));
  tell_tags(&a, true, 100); // no message stands for ever
  assert_null(a.m->screen.notice);
  assert_int_equal(a.m->screen.n_items, n + 1);
  assert_string_equal(a.m->screen.items[n].label, "tags");
  assert_string_equal(a.m->screen.items[n].value, "refused");
  assert_int_equal(a.m->layout.item_rows, 1); // nothing else has moved
  middle(&a, (WayChoiceId)n, &x, &y);
  point(&a, WAY_INPUT_WHEEL, x, y, 0, 1);
  point(&a, WAY_INPUT_PRESS, x, y, 1, 0);
  point(&a, WAY_INPUT_RELEASE, x, y, 1, 0);
  assert_int_equal(a.writes, 0);
  tell_tags(&a, true, 101); // why, once more
  assert_non_null(strstr(a.m->screen.notice, "Tags refused"));
  tell_tags(&a, false, 102);
  assert_null(a.m->screen.notice);
  assert_int_equal(a.m->screen.n_items, n);
  way_model_free(a.m);
}

static void test_a_tag_channel_that_is_refused_says_so(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  key(&a, 'x', false, false);
  assert_int_equal(a.control, WAY_CONTROL_TAG_CHANNEL);
  assert_float_equal(a.value, 1, 0);
  assert_string_equal(a.m->screen.notice, "tag channel 1");
  tell_tags(&a, true, 1);
  tell_tags(&a, true, 100);
  key(&a, 'x', false, false);
  assert_float_equal(a.value, 2, 0);
  assert_non_null(strstr(a.m->screen.notice, "tag channel 2. Tags refused"));
  tell_tags(&a, false, 1); // before the message would go by itself
  assert_null(a.m->screen.notice);
  tell_tags(&a, true, 100);
  for (int i = 0; i < 2; ++i) key(&a, 'X', true, false);
  assert_float_equal(a.value, 0, 0);
  assert_string_equal(a.m->screen.notice, "tag channel 0"); // none are asked for
  way_model_free(a.m);
}

// What is seen on the screen, or in the list, needs no message.
static void test_a_choice_that_is_not_seen_is_told(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  key(&a, 'g', false, false);
  assert_string_equal(a.m->screen.notice, "guide off");
  key(&a, 's', false, false);
  assert_string_equal(a.m->screen.notice, "snap up");
  key(&a, 'm', false, false);
  assert_null(a.m->screen.notice);
  key(&a, 'a', false, false); // the capo is on the fretboard
  assert_null(a.m->screen.notice);
  key(&a, '?', false, false);
  key(&a, 'g', false, false);
  assert_null(a.m->screen.notice);
  way_model_free(a.m);
}

static void test_a_message_is_shown_as_far_as_it_is_text(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D |");
  const WayNews news = {.kind = WAY_NEWS_CHART_MESSAGE,
                        .text = way_text("line 1\xC3, a\n\xFF\u266D\xE2\x99")};
  way_model_news(a.m, &news, 0);
  way_model_update(a.m, 900, 420, 0);
  assert_string_equal(a.m->screen.notice, "Chart: line 1, a\u266D");
  char longest[2 * WAY_MODEL_NOTICE];
  for (size_t i = 0; i + 2 < sizeof(longest); i += 2) memcpy(longest + i, "\u00E9", 2);
  const WayNews more = {.kind = WAY_NEWS_CHART_MESSAGE,
                        .text = {longest, sizeof(longest) - 2}};
  way_model_news(a.m, &more, 0);
  way_model_update(a.m, 900, 420, 0);
  const size_t size = strlen(a.m->screen.notice);
  assert_true(size > WAY_MODEL_NOTICE - 4);
  assert_int_equal((unsigned char)a.m->screen.notice[size - 1], 0xA9); // a whole one
  way_model_free(a.m);
}

static void test_a_still_model_does_not_move(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  assert_false(way_model_moves(a.m));
  WayNews n = place(0, 7680);
  way_model_news(a.m, &n, 1);
  assert_true(way_model_moves(a.m));
  n = place(500, 0);
  way_model_news(a.m, &n, 2);
  assert_false(way_model_moves(a.m));
  key(&a, 'u', false, false); // a notice: nothing to undo
  assert_true(way_model_moves(a.m));
  way_model_update(a.m, 900, 420, 3);
  way_model_update(a.m, 900, 420, 300);
  assert_false(way_model_moves(a.m));
  way_model_free(a.m);
}

static void test_keys_that_are_nothing_are_the_hosts(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  WayUiInput in = {.kind = WAY_INPUT_KEY, .key = ' '};
  assert_false(way_model_input(a.m, &in));
  in.key = 'h';
  assert_true(way_model_input(a.m, &in));
  in.ctrl = true;
  assert_false(way_model_input(a.m, &in));
  key(&a, '/', false, false); // all keys are typed now
  in = (WayUiInput){.kind = WAY_INPUT_KEY, .key = ' '};
  assert_true(way_model_input(a.m, &in));
  way_model_free(a.m);
}

static void test_the_guide_brings_the_look_back(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  const WayNews news = {.kind = WAY_NEWS_LOOK,
                        .text = way_text("instrument: dadgad; theme: contrast")};
  way_model_news(a.m, &news, 0);
  way_model_update(a.m, 900, 420, 0);
  assert_int_equal(a.m->screen.look.theme, WAY_THEME_CONTRAST);
  assert_int_equal(a.m->screen.look.frets.tuning.open[0], 38);
  assert_int_equal(a.looks, 0); // not sent back
  key(&a, 'u', false, false);   // no step of the player's
  assert_int_equal(a.m->screen.look.theme, WAY_THEME_CONTRAST);
  way_model_free(a.m);
}

static void test_the_wheel_turns_what_it_is_over(void** state) {
  (void)state;
  Asked a;
  double x, y;
  start(&a, "| D | G |");
  middle(&a, WAY_CHOICE_MATERIAL, &x, &y);
  point(&a, WAY_INPUT_WHEEL, x, y, 0, 1);
  assert_int_equal(a.control, WAY_CONTROL_MATERIAL);
  assert_float_equal(a.value, 6, 0);
  point(&a, WAY_INPUT_WHEEL, x, y, 0, 1); // round to the first
  assert_float_equal(a.value, 0, 0);
  const WayBox neck = a.m->layout.box[WAY_REGION_INSTRUMENT];
  point(&a, WAY_INPUT_WHEEL, neck.x + 50, neck.y + 50, 0, 1);
  way_model_update(a.m, 900, 420, 0);
  WayFretboard best = way_fretboard_default();
  way_screen_hand(a.m->timeline, a.m->screen.material, &best);
  assert_int_equal(a.m->screen.look.frets.first, best.first);
  assert_int_equal(a.m->screen.look.frets.last, best.last);
  point(&a, WAY_INPUT_WHEEL, neck.x + 50, neck.y + 50, 0, 1);
  way_model_update(a.m, 900, 420, 0);
  assert_int_equal(a.m->screen.look.frets.first, 0);
  assert_int_equal(a.m->screen.look.frets.last, 4);
  assert_int_equal(a.writes, 2);
  way_model_free(a.m);
}

static void test_a_click_is_the_next_value_and_a_drag_one_step(void** state) {
  (void)state;
  Asked a;
  double x, y;
  start(&a, "| D | G |");
  middle(&a, WAY_CHOICE_SOURCE, &x, &y);
  point(&a, WAY_INPUT_PRESS, x, y, 1, 0);
  assert_true(a.held);
  point(&a, WAY_INPUT_RELEASE, x, y, 1, 0);
  assert_false(a.held);
  assert_float_equal(a.value, 1, 0);
  point(&a, WAY_INPUT_PRESS, x, y, 3, 0);
  point(&a, WAY_INPUT_RELEASE, x, y, 3, 0);
  assert_float_equal(a.value, 0, 0);
  middle(&a, WAY_CHOICE_EARLY, &x, &y);
  point(&a, WAY_INPUT_PRESS, x, y, 1, 0);
  for (int i = 1; i <= 60; ++i) point(&a, WAY_INPUT_MOVE, x, y - i, 1, 0);
  point(&a, WAY_INPUT_RELEASE, x, y - 60, 1, 0);
  assert_int_equal(a.control, WAY_CONTROL_EARLY);
  assert_float_equal(a.value, 1, 0);
  key(&a, 'u', false, false);
  assert_float_equal(a.value, 0, 0);
  assert_int_equal(a.touches, 3);
  way_model_free(a.m);
}

static void test_the_host_turns_what_the_screen_shows(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  way_model_control(a.m, WAY_CONTROL_MATERIAL, 2);
  way_model_update(a.m, 900, 420, 0);
  assert_int_equal(a.m->screen.material, WAY_MATERIAL_PENTATONIC);
  assert_string_equal(a.m->items[WAY_CHOICE_MATERIAL].value, "pentatonic");
  way_model_control(a.m, WAY_CONTROL_MATERIAL, NAN);
  way_model_control(a.m, WAY_CONTROL_MARKS_ON_OUT, 1); // not on this screen
  way_model_update(a.m, 900, 420, 0);
  assert_int_equal(a.writes, 0);
  way_model_free(a.m);
}

static void test_a_chart_is_checked_as_it_is_typed(void** state) {
  (void)state;
  Asked a;
  start(&a, "");
  key(&a, '/', false, false);
  assert_int_equal(a.m->over, WAY_OVER_CHART);
  typed(&a, "| D | H7 |");
  assert_int_equal(a.m->line_error.line, 1);
  assert_int_equal(a.m->line_error.column, 7);
  key(&a, WAY_KEY_ENTER, false, false); // it stays open
  assert_int_equal(a.m->over, WAY_OVER_CHART);
  assert_int_equal(a.texts, 0);
  for (int i = 0; i < 3; ++i) key(&a, WAY_KEY_LEFT, false, false);
  key(&a, WAY_KEY_BACKSPACE, false, false);
  typed(&a, "A");
  assert_int_equal(a.m->line_error.status, WAY_OK);
  key(&a, WAY_KEY_ENTER, false, false);
  assert_int_equal(a.m->over, WAY_OVER_NOTHING);
  assert_string_equal(a.text, "| D | A7 |");
  assert_false(a.path);
  chart(&a, a.text); // as the guide says
  way_model_update(a.m, 900, 420, 0);
  assert_int_equal(a.m->screen.timeline->n_bars, 2);
  key(&a, 'z', false, true);
  assert_int_equal(a.texts, 2);
  assert_string_equal(a.text, "");
  way_model_free(a.m);
}

static void test_a_paste_opens_the_line(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D |");
  const WayUiInput in = {.kind = WAY_INPUT_PASTE,
                         .text = way_text("title: Slack Tide\n| Em | A7 |\n")};
  way_model_input(a.m, &in);
  way_model_update(a.m, 900, 420, 0);
  assert_int_equal(a.m->over, WAY_OVER_CHART);
  assert_int_equal(a.m->over_layout.rows, 3);
  key(&a, WAY_KEY_ENTER, false, false);
  assert_string_equal(a.text, "title: Slack Tide\n| Em | A7 |\n");
  way_model_free(a.m);
}

static void test_a_file_is_asked_for_or_its_path_typed(void** state) {
  (void)state;
  Asked a;
  start(&a, "");
  a.has_files = true;
  key(&a, 'p', false, false);
  assert_int_equal(a.files, 1);
  assert_int_equal(a.m->over, WAY_OVER_NOTHING);
  a.has_files = false;
  key(&a, 'p', false, false);
  assert_int_equal(a.m->over, WAY_OVER_PATH);
  typed(&a, " tunes/slack-tide.chart ");
  key(&a, WAY_KEY_ENTER, false, false);
  assert_true(a.path);
  assert_string_equal(a.text, "tunes/slack-tide.chart");
  way_model_free(a.m);
}

static void test_the_place_moves_evenly_and_never_back_by_a_little(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  uint32_t rng = 7;
  WayTick before = 0;
  double now = 10;
  for (int i = 0; i < 500; ++i) {
    now += 0.02 + rng_below(&rng, 40) / 1000.0; // messages come late, more or less
    const WayTick tick = (WayTick)((now - 10) * 7680) - (WayTick)rng_below(&rng, 600);
    const WayNews news = place(tick, 7680);
    way_model_news(a.m, &news, now);
    for (int k = 0; k < 3; ++k) {
      way_model_update(a.m, 900, 420, now + k * 0.016);
      assert_true(a.m->screen.tick >= before);
      assert_true(a.m->screen.tick <= tick + (WayTick)(0.33 * 7680) + 1000);
      before = a.m->screen.tick;
    }
  }
  const WayNews stop = place(100, 0);
  way_model_news(a.m, &stop, now);
  way_model_update(a.m, 900, 420, now + 5);
  assert_int_equal(a.m->screen.tick, 100);
  way_model_free(a.m);
}

static WayNews with_record(WayTick tick, WayWireRecord r) {
  WayNews n = place(tick, 7680);
  n.n = 1;
  n.records[0] = r;
  return n;
}

static void test_notes_leave_a_trail_and_landings_stay_a_chorus(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |"); // bars of 15360 ticks
  const WayRoleOf third = {.role = WAY_ROLE_CHORD, .interval = 4, .degree = {3, 0}};
  const WayWireRecord records[] = {
      {.kind = WAY_WIRE_ON, .pitch = 66, .channel = 2},
      {.kind = WAY_WIRE_ROLE, .pitch = 66, .role = third},
      {.kind = WAY_WIRE_LANDING, .pitch = 66, .role = third, .on_target = true},
  };
  for (unsigned i = 0; i < 3; ++i) {
    const WayNews n = with_record(10, records[i]);
    way_model_news(a.m, &n, 1);
  }
  way_model_update(a.m, 900, 420, 1);
  assert_int_equal(a.m->screen.n_sounding, 1);
  assert_int_equal(a.m->screen.n_trail, 1);
  assert_true(a.m->trail[0].end == WAY_TRAIL_SOUNDS);
  assert_int_equal(a.m->screen.n_landings, 1);
  assert_true(a.m->screen.landings[0].on_target);
  WayNews n = with_record(
      5000,
      (WayWireRecord){.kind = WAY_WIRE_OFF, .pitch = 66, .channel = 2, .ago = 1000});
  way_model_news(a.m, &n, 1.1);
  // Early for the top of the next chorus.
  n = with_record(
      30000, (WayWireRecord){
                 .kind = WAY_WIRE_LANDING, .pitch = 66, .role = third, .next = true});
  way_model_news(a.m, &n, 1.2);
  way_model_update(a.m, 900, 420, 1.2);
  assert_int_equal(a.m->screen.n_sounding, 0);
  assert_int_equal(a.m->trail[0].end, 4000);
  assert_int_equal(a.m->screen.n_landings, 1);
  n = place(30720 + 10, 7680);
  way_model_news(a.m, &n, 1.3);
  way_model_update(a.m, 900, 420, 1.3);
  assert_int_equal(a.m->screen.n_landings, 1);
  assert_int_equal(a.m->screen.landings[0].span, 0);
  assert_false(a.m->screen.landings[0].on_target);
  n = place(0, 7680); // back to the top: what was played is gone
  way_model_news(a.m, &n, 1.4);
  way_model_update(a.m, 900, 420, 1.4);
  assert_int_equal(a.m->screen.n_trail, 0);
  way_model_free(a.m);
}

static void test_strings_are_known_by_their_channels(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D |");
  const WayNews n =
      with_record(0, (WayWireRecord){.kind = WAY_WIRE_ON, .pitch = 60, .channel = 4});
  way_model_news(a.m, &n, 0);
  way_model_update(a.m, 900, 420, 0);
  assert_int_equal(a.m->screen.sounding[0].string, 0);
  key(&a, 'r', false, false); // the highest string on channel 1: the fifth on 5
  assert_int_equal(a.m->screen.sounding[0].string, 2);
  for (int i = 0; i < 5; ++i) key(&a, 'r', false, false);
  assert_int_equal(a.m->screen.sounding[0].string, 0);
  way_model_free(a.m);
}

static void test_a_chord_heard_stands_for_the_chart(void** state) {
  (void)state;
  Asked a;
  start(&a, "| D | G |");
  WayNews n = place(0, 0);
  n.from = WAY_CHORD_FROM_NOTES;
  assert_int_equal(way_key_read(way_text("F major"), &n.key, NULL), WAY_OK);
  n.chord = way_timeline_harmony(a.m->timeline, 1)->chord;
  way_model_news(a.m, &n, 0);
  way_model_update(a.m, 900, 420, 0);
  assert_true(way_chord_equal(&a.m->screen.now->chord, &n.chord));
  assert_null(a.m->screen.next);
  assert_float_equal(a.m->screen.until, 0, 0);
  way_model_free(a.m);
}

/// Any input at all leaves a model that can be laid out, and gives all memory back.
static void test_anything_can_be_done(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 40; ++seed) {
    uint32_t rng = seed;
    Asked a;
    start(&a, seed % 3 ? "| D G>3 | Em7 |" : "");
    for (int i = 0; i < 300; ++i) {
      WayUiInput in = {.x = rng_below(&rng, 900), .y = rng_below(&rng, 420)};
      in.kind = (WayUiInputKind)rng_below(&rng, WAY_INPUT_COUNT);
      in.button = 1 + rng_below(&rng, 3);
      in.wheel = (int)rng_below(&rng, 7) - 3;
      in.key = rng_below(&rng, 3) ? rng_below(&rng, 0x300)
                                  : WAY_KEY_LEFT + rng_below(&rng, 12);
      in.shift = rng_below(&rng, 2);
      in.ctrl = rng_below(&rng, 4) == 0;
      in.text = way_text(rng_below(&rng, 2) ? "| D |\n" : "\xF0\x9F\xFF");
      way_model_input(a.m, &in);
      WayNews n = place((WayTick)rng_below(&rng, 100000) - 20000, 7680);
      n.tags_refused = rng_below(&rng, 8) == 0;
      n.n = rng_below(&rng, 4);
      for (unsigned k = 0; k < n.n; ++k)
        n.records[k] = (WayWireRecord){.kind = (uint8_t)rng_below(&rng, 4),
                                       .pitch = (uint8_t)rng_below(&rng, 128),
                                       .ago = (int32_t)rng_below(&rng, 9000),
                                       .role = {.degree = {1, 0}}};
      way_model_news(a.m, &n, i * 0.1);
      way_model_update(a.m, 120 + rng_below(&rng, 2000), 120 + rng_below(&rng, 2000),
                       i * 0.1);
    }
    way_model_free(a.m);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_keys_turn_choices_and_undo_takes_back),
      cmocka_unit_test(test_the_guide_brings_the_look_back),
      cmocka_unit_test(test_a_stage_is_one_step),
      cmocka_unit_test(test_a_stage_is_turned_like_all_else),
      cmocka_unit_test(test_a_stage_is_dragged_and_comes_back),
      cmocka_unit_test(test_a_choice_is_not_hidden_by_a_notice),
      cmocka_unit_test(test_tags_that_are_refused_are_told_and_stay_named),
      cmocka_unit_test(test_a_tag_channel_that_is_refused_says_so),
      cmocka_unit_test(test_a_choice_that_is_not_seen_is_told),
      cmocka_unit_test(test_a_message_is_shown_as_far_as_it_is_text),
      cmocka_unit_test(test_a_still_model_does_not_move),
      cmocka_unit_test(test_keys_that_are_nothing_are_the_hosts),
      cmocka_unit_test(test_the_wheel_turns_what_it_is_over),
      cmocka_unit_test(test_a_click_is_the_next_value_and_a_drag_one_step),
      cmocka_unit_test(test_the_host_turns_what_the_screen_shows),
      cmocka_unit_test(test_a_chart_is_checked_as_it_is_typed),
      cmocka_unit_test(test_a_paste_opens_the_line),
      cmocka_unit_test(test_a_file_is_asked_for_or_its_path_typed),
      cmocka_unit_test(test_the_place_moves_evenly_and_never_back_by_a_little),
      cmocka_unit_test(test_notes_leave_a_trail_and_landings_stay_a_chorus),
      cmocka_unit_test(test_strings_are_known_by_their_channels),
      cmocka_unit_test(test_a_chord_heard_stands_for_the_chart),
      cmocka_unit_test(test_anything_can_be_done),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
