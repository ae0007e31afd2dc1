#include "guided.h"

// Where the chord comes from, and what is marked.

static void test_a_start_marks_top_and_chord(void** state) {
  (void)state;
  chart("C F");
  assert_string_equal(marked(), "");
  roll(10, 0, 1);
  assert_string_equal(marked(), "10 top chorus 1; 10 change C");
  roll(10, 0, 1);
  assert_string_equal(marked(), "");
}

static void test_changes_come_on_the_beat(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  way_engine_advance(&engine, BAR, &sink);
  assert_string_equal(marked(), "0 top chorus 1; 0 change C");
  way_engine_advance(&engine, 2 * BAR + 1, &sink);
  assert_string_equal(marked(), "15360 change F; 30720 top chorus 2; 30720 change C");
}

static void test_a_note_on_the_change_meets_the_new_chord(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  on(BAR - 1, 69);
  off(BAR - 1, 69);
  on(BAR, 69);
  assert_string_equal(marked(),
                      "0 top chorus 1; 0 change C; 15359 role 13 scale tone over C; "
                      "15359 landing 13 other over C; 15360 change F; "
                      "15360 role 3 chord tone over F; "
                      "15360 landing 3 chord tone over F");
}

static void test_a_stopped_transport_holds_its_chord(void** state) {
  (void)state;
  chart("C F");
  roll(0, BAR, 0);
  on(99, 65);
  assert_string_equal(marked(), "99 role R chord tone over F");
}

static void test_a_locate_tells_only_another_chord(void** state) {
  (void)state;
  chart("C C7 F");
  roll(0, BEAT, 1);
  assert_string_equal(marked(), "0 change C");
  roll(100, 2 * BEAT, 1);
  assert_string_equal(marked(), "");
  roll(200, 2 * BAR + BEAT, 1);
  assert_string_equal(marked(), "200 change F");
  roll(300, 0, 1);
  assert_string_equal(marked(), "300 top chorus 1; 300 change C");
}

static void test_a_chart_swapped_in_at_the_top_marks_it_once(void** state) {
  (void)state;
  static Form other;
  form_make(&other, "G");
  chart("C F");
  roll(0, 0, 1);
  marked();
  way_engine_chart(&engine, &other.timeline, 0, &sink);
  assert_string_equal(marked(), "0 change G");
}

static void test_before_the_form_there_is_no_chord(void** state) {
  (void)state;
  chart("C F");
  settings.early = 1;
  use();
  roll(0, -BAR, 1);
  on(5, 65);
  off(6, 65);
  const WayGuideView v = way_engine_view(&engine, 7);
  assert_false(v.has_chord);
  assert_ptr_equal(v.next, &form.harmonies[0]);
  assert_string_equal(marked(), "");
  on(BAR - BEAT, 64);
  roll(BAR - 9, -9, 1); // hosts repeat themselves
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(marked(), "11520 role 3 chord tone over C; "
                                "11520 landing 3 chord tone over C; "
                                "15360 top chorus 1; 15360 change C");
}

static void test_no_chord_passes_notes_and_marks_nothing(void** state) {
  (void)state;
  settings.handling = WAY_HANDLING_SNAP;
  settings.tag_channel = 3;
  use();
  roll(0, 0, 1);
  on(5, 61);
  off(9, 61);
  assert_string_equal(sent(), "5:90.61 9:80.61 ");
  assert_string_equal(marked(), "");
  assert_false(way_engine_view(&engine, 9).has_chord);
}

static void test_bypass_passes_notes_and_marks_nothing(void** state) {
  (void)state;
  chart("C F");
  settings.handling = WAY_HANDLING_SNAP;
  settings.enabled = false;
  use();
  roll(0, 0, 1);
  on(5, 61);
  way_engine_advance(&engine, 2 * BAR, &sink);
  assert_string_equal(sent(), "5:90.61 ");
  assert_string_equal(marked(), "");
}

// What a screen shows.

static void test_the_view(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  on(BEAT, 64);
  const WayGuideView v = way_engine_view(&engine, BEAT);
  assert_true(v.rolling && v.has_chord);
  assert_ptr_equal(v.now, &form.harmonies[0]);
  assert_ptr_equal(v.next, &form.harmonies[1]);
  assert_true(v.beats_to_change > 2.9999 && v.beats_to_change < 3.0001);
  assert_int_equal(v.last_pitch, 64);
  assert_int_equal(v.last.interval, 4);
}

static void test_the_view_before_the_form(void** state) {
  (void)state;
  chart("C F");
  roll(0, -2 * BAR, 1);
  const WayGuideView v = way_engine_view(&engine, 0);
  assert_null(v.now);
  assert_ptr_equal(v.next, &form.harmonies[0]);
  assert_true(v.beats_to_change > 7.9999 && v.beats_to_change < 8.0001);
}

static void test_the_engine_is_small(void** state) {
  (void)state;
  print_message("# WayEngine takes %zu bytes\n", sizeof(WayEngine));
  assert_true(sizeof(WayEngine) <= 64 * 1024);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_a_start_marks_top_and_chord, start),
      cmocka_unit_test_setup(test_changes_come_on_the_beat, start),
      cmocka_unit_test_setup(test_a_note_on_the_change_meets_the_new_chord, start),
      cmocka_unit_test_setup(test_a_stopped_transport_holds_its_chord, start),
      cmocka_unit_test_setup(test_a_locate_tells_only_another_chord, start),
      cmocka_unit_test_setup(test_a_chart_swapped_in_at_the_top_marks_it_once, start),
      cmocka_unit_test_setup(test_before_the_form_there_is_no_chord, start),
      cmocka_unit_test_setup(test_no_chord_passes_notes_and_marks_nothing, start),
      cmocka_unit_test_setup(test_bypass_passes_notes_and_marks_nothing, start),
      cmocka_unit_test_setup(test_the_view, start),
      cmocka_unit_test_setup(test_the_view_before_the_form, start),
      cmocka_unit_test(test_the_engine_is_small),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
