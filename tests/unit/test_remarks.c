#include "check.h"
#include "played.h"
#include "take/remarks.h"

static void check_remark(const WayReview* r, WayTopic topic, const char* text,
                         bool expected) {
  WayRemarks all;
  way_remarks(r, &all);
  assert_in_range(all.n, 0, WAY_REMARKS_MAX);
  bool found = false;
  for (uint32_t i = 0; i < all.n; ++i)
    found |= all.remarks[i].topic == topic && !strcmp(all.remarks[i].text, text);
  if (found == expected) return;
  for (uint32_t i = 0; i < all.n; ++i) print_message("%s\n", all.remarks[i].text);
  fail_msg("%s: %s", expected ? "not told" : "told", text);
}

// Three takes over one chart that a teacher would tell apart.
static const char chart[] = "key: C major\n| C | F>3 | G7 | C |\n";

static void test_a_timid_take(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {2, 1, 60}, {10, 1, 62}, {13, 1, 60});
  check_remark(r.review, WAY_TOPIC_ARRIVING,
               "The planned landing is still open (bar 2).", true);
  check_remark(r.review, WAY_TOPIC_ARRIVING,
               "Of 4 chords, 3 arrive in a rest, 1 is met after they arrive (bar 4).",
               true);
  check_remark(r.review, WAY_TOPIC_LEANING,
               "The line stays on the basic tones of its chords.", true);
  reviewed_free(r);
}

static void test_a_busy_take(void** state) {
  (void)state;
  Played notes[32];
  for (int i = 0; i < 32; ++i)
    notes[i] = (Played){i * 0.5, 0.5, 60 + (i % 8 < 5 ? i % 8 : 8 - i % 8)};
  const Reviewed r = reviewed(chart, 0, 0, notes, 32);
  check_remark(r.review, WAY_TOPIC_ARRIVING, "Every chord is met as it arrives.", true);
  check_remark(r.review, WAY_TOPIC_PHRASES,
               "The take is one phrase, from bar 1 on for 16 beats.", true);
  check_remark(r.review, WAY_TOPIC_PHRASES,
               "The line reaches from C in bar 1 up to E in bar 1, 4 semitones.", true);
  reviewed_free(r);
}

static void test_a_targeted_take(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED(chart, 0, 0, {0, 0.5, 64}, {0.5, 0.5, 65}, {1, 0.5, 67}, {1.5, 1, 64},
               {4, 0.5, 69}, {4.5, 0.5, 71}, {5, 0.5, 72}, {5.5, 1, 69}, {8, 1, 71},
               {9, 0.5, 68}, {9.5, 1, 67}, {12, 3, 64});
  check_remark(r.review, WAY_TOPIC_ARRIVING, "The planned landing is there (bar 2).",
               true);
  check_remark(r.review, WAY_TOPIC_ARRIVING, "The landings: 4 thirds and sevenths.",
               true);
  check_remark(
      r.review, WAY_TOPIC_LEANING,
      "Listen again to bar 3: Ab, the b9 of G7, goes to G, the root of G7, after "
      "half a beat.",
      true);
  check_remark(r.review, WAY_TOPIC_PHRASES,
               "The phrase of bar 2 takes up that of bar 1 on other notes; the answer "
               "lands on the third of F, as planned.",
               true);
  reviewed_free(r);
}

static void test_what_answers_land_on(void** state) {
  (void)state;
  static const struct {
    const char *chart, *told;
  } rows[] = {
      {"key: C major\n| C | F | G7 | C |\n",
       "1 phrase answers the one before; it lands on a basic chord tone."},
      {"key: C major\n| C>3 | F>3 | G7>3 | C |\n",
       "1 phrase answers the one before; it lands on the planned tone."},
  };
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    const Reviewed r =
        REVIEWED(rows[i].chart, 0, 0, {0, 0.5, 64}, {0.5, 0.5, 65}, {1, 0.5, 67},
                 {1.5, 0.5, 64}, {4, 0.5, 69}, {4.5, 0.5, 67}, {5, 0.5, 65});
    check_remark(r.review, WAY_TOPIC_PHRASES, rows[i].told, true);
    reviewed_free(r);
  }
}

// An early window would turn them all round, so that is said before what they are.
static void test_many_notes_a_hair_early_come_first(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED(chart, 0, 0, {0, 1, 64}, {3.95, 1, 69}, {7.95, 1, 71}, {11.95, 1, 64});
  WayRemarks all;
  way_remarks(r.review, &all);
  assert_string_equal(all.remarks[0].text,
                      "3 notes begin a hair before their chords and count for the "
                      "chords before; --early 0.13 takes them along.");
  reviewed_free(r);
}

static void test_timing(void** state) {
  (void)state;
  const Reviewed behind = REVIEWED(chart, 0, 0, {0.05, 1, 60}, {1.05, 1, 62});
  check_remark(
      behind.review, WAY_TOPIC_ARRIVING,
      "Notes begin 0.05 beats behind the grid on average, give or take 0.00 beats.",
      true);
  reviewed_free(behind);
  const Reviewed apart = REVIEWED(chart, 0, 0, {0.06, 1, 60}, {0.94, 1, 62});
  check_remark(apart.review, WAY_TOPIC_ARRIVING,
               "Notes begin on the grid on average, give or take 0.06 beats.", true);
  reviewed_free(apart);
}

static void test_headings(void** state) {
  (void)state;
  assert_string_equal(way_topic_name(WAY_TOPIC_ARRIVING), "Arriving");
  assert_string_equal(way_topic_name(WAY_TOPIC_PHRASES), "Phrases");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_timid_take),
      cmocka_unit_test(test_a_busy_take),
      cmocka_unit_test(test_a_targeted_take),
      cmocka_unit_test(test_timing),
      cmocka_unit_test(test_headings),
      cmocka_unit_test(test_what_answers_land_on),
      cmocka_unit_test(test_many_notes_a_hair_early_come_first),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
