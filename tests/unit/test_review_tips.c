#include "check.h"
#include "played.h"
#include "take/review_tips.h"

static const char chart[] = "key: C major\n| C | G7 | C | F |\n";

static void check_tip(Reviewed r, uint32_t i, const char* text, const char* preset) {
  WayReviewExtra extra;
  assert_int_equal(way_review_extra(r.review, &extra), WAY_OK);
  if (!text) {
    assert_int_equal(extra.n_tips, i);
  } else {
    assert_in_range(extra.n_tips, i + 1, WAY_TIPS_MAX);
    assert_string_equal(extra.tips[i].text, text);
    assert_string_equal(extra.tips[i].preset, preset);
  }
  free(extra.chords);
}

static void test_a_guide_tone_not_landed_on(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {0, 1, 67}, {4, 1, 71}, {8, 1, 67},
                              {12, 1, 69}, {16, 1, 67}, {20, 1, 65}, {24, 1, 67});
  check_tip(
      r, 0,
      "The third of C (E) has not been landed on yet: bars 1, 3, chorus 2 bars 1 and 3",
      "4 Thirds and sevenths");
  check_tip(r, 1, NULL, NULL);
  reviewed_free(r);
}

static void test_open_targets_come_first(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: C major\n| C>3 | G7>3 |\n", 0, 0, {0, 1, 64}, {4, 1, 67});
  check_tip(r, 0,
            "1 planned landing is still open: bar 2. Sing the target before the chord "
            "arrives, then play it",
            "8 Free, with a landing");
  check_tip(r, 1, "The third of G7 (B) has not been landed on yet: bar 2",
            "4 Thirds and sevenths");
  reviewed_free(r);
}

static void test_chords_met_late(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {0.5, 1, 64}, {4.5, 1, 71}, {5, 1, 65},
                              {8.5, 1, 64}, {12.5, 1, 69}, {20.5, 1, 65});
  check_tip(r, 0,
            "5 of 6 chords are met after they arrive: bars 1, 2, 3, 4 and more. Try "
            "being there half a beat before",
            "6 Half a beat ahead");
  reviewed_free(r);
}

static void test_one_late_chord_is_no_habit(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: C major\n| C | F |\n", 0, 0, {0, 1, 64}, {4.5, 1, 69});
  check_tip(r, 0, NULL, NULL);
  reviewed_free(r);
}

static void test_chords_that_arrive_in_a_rest(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {2, 1, 64}, {6, 1, 71}, {14, 1, 69});
  check_tip(r, 0,
            "4 of 4 chords arrive in a rest: bars 1, 2, 3 and 4. One note on each is a "
            "melody already",
            "8 Free, with a landing");
  reviewed_free(r);
}

static void test_chromatic_notes_left_by_leap(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: C major\n| C | F |\n", 0, 0, {0, 1, 64}, {1, 1, 66}, {2, 1, 60},
               {2.5, 0.5, 66}, {3, 1, 60}, {4, 1, 69}, {5, 1, 66}, {6, 1, 72});
  check_tip(
      r, 0,
      "3 chromatic notes move on without stepping into the chord: bars 1 and 2. Let "
      "one of them step home",
      "7 Touch and return");
  reviewed_free(r);
}

static void test_chord_tones_alone(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: C major\n| C |\n", 0, 0, {0, 1, 64}, {1, 1, 67}, {2, 1, 60},
               {3, 1, 64}, {4, 1, 67}, {5, 1, 60}, {6, 1, 64}, {7, 1, 67});
  check_tip(r, 0,
            "The line rests on chord tones nearly throughout. Lean on one note from "
            "outside before it settles",
            "2 One blue note");
  reviewed_free(r);
}

static void test_a_line_without_a_breath(void** state) {
  (void)state;
  Played notes[40];
  for (int i = 0; i < 40; ++i)
    notes[i] = (Played){i * 0.5, 0.45, i % 8 ? 62 + i % 5 : 64};
  const Reviewed r = reviewed("key: C major\n| C |\n", 0, 0, notes, 40);
  check_tip(
      r, 0,
      "From bar 1 the line goes on for 4 bars without a breath. Leave one bar empty "
      "and listen to the chord change",
      "3 The bare triad");
  reviewed_free(r);
}

static void test_every_phrase_a_new_one(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: C major\n| C |\n", 0, 0, {0, 0.5, 64}, {0.5, 1, 67}, {4, 0.5, 64},
               {4.5, 0.3, 62}, {4.8, 1, 66}, {8, 1, 72}, {9, 0.3, 64}, {9.3, 0.3, 60},
               {9.6, 0.3, 69}, {12, 1, 64}, {13, 1, 60});
  check_tip(
      r, 0,
      "Every phrase is a new one. Play that of bar 1 twice, and change only its last "
      "note",
      "1 Five notes all the way");
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_guide_tone_not_landed_on),
      cmocka_unit_test(test_open_targets_come_first),
      cmocka_unit_test(test_chords_met_late),
      cmocka_unit_test(test_one_late_chord_is_no_habit),
      cmocka_unit_test(test_chords_that_arrive_in_a_rest),
      cmocka_unit_test(test_chromatic_notes_left_by_leap),
      cmocka_unit_test(test_a_line_without_a_breath),
      cmocka_unit_test(test_every_phrase_a_new_one),
      cmocka_unit_test(test_chord_tones_alone),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
