#include "check.h"
#include "played.h"
#include "take/review_json.h"
#include "theory/chord_write.h"

#include <jansson.h>

static const char chart[] = "title: Gull Market\nkey: C major\ntime: 4/4\n\n[A]\n"
                            "| C | Am>b3 | N.C. | G7 |\n";

/// A review as jansson reads it back.
static json_t* parsed(const WayReview* r, const WayReviewHead* head) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  assert_int_equal(way_review_json(r, head, to), WAY_OK);
  assert_false(fclose(to));
  json_error_t error;
  json_t* const value =
      json_loadb(text, size, JSON_REJECT_DUPLICATES | JSON_ALLOW_NUL, &error);
  if (!value) fail_msg("%s in %s", error.text, text);
  assert_ptr_equal(strchr(text, '\n'), text + size - 1); // one line
  free(text);
  return value;
}

static const WayReviewHead plain = {"take.mid", "Gull Market", {"Melody", 6}};

static void check_number(const json_t* object, const char* key, double expected) {
  const json_t* const value = json_object_get(object, key);
  if (!json_is_number(value)) fail_msg("%s is no number", key);
  assert_float_equal(json_number_value(value), expected, 1e-6);
}

static void check_text(const json_t* object, const char* key, const char* expected) {
  const char* const value = json_string_value(json_object_get(object, key));
  if (!value) fail_msg("%s is no string", key);
  assert_string_equal(value, expected);
}

static void check_null(const json_t* object, const char* key) {
  if (!json_is_null(json_object_get(object, key))) fail_msg("%s is not null", key);
}

static void test_notes(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 4, 0, {3, 0.5, 61}, {4.25, 1.0 / 3, 64},
                              {12, 1, 62}, {20, 2, 70});
  json_t* const all = parsed(r.review, &plain);
  check_text(all, "take", "take.mid");
  check_text(all, "title", "Gull Market");
  check_text(all, "key", "C major");
  check_text(all, "track_name", "Melody");
  const json_t* const notes = json_object_get(all, "notes");
  assert_int_equal(json_array_size(notes), 4);
  const json_t* const before = json_array_get(notes, 0);
  check_number(before, "onset_beats", -1);
  check_number(before, "chorus", 0);
  check_number(before, "bar", 0);
  check_number(before, "beat", 4);
  check_null(before, "chord");
  check_null(before, "interval");
  check_null(before, "degree");
  check_text(before, "role", "chromatic");
  const json_t* const third = json_array_get(notes, 1);
  check_number(third, "onset_beats", 0.25);
  check_number(third, "duration_beats", 0.333333);
  check_number(third, "midi", 64);
  check_text(third, "name", "E");
  check_text(third, "chord", "C");
  check_number(third, "interval", 4);
  check_text(third, "role", "chord tone");
  check_text(third, "degree", "3");
  check_text(third, "section", "A");
  check_number(third, "beat", 1.25);
  check_number(third, "velocity", 100);
  check_number(third, "channel", 1);
  assert_true(json_is_true(json_object_get(third, "basic")));
  const json_t* const silent = json_array_get(notes, 2);
  check_text(silent, "chord", "N.C.");
  check_null(silent, "interval");
  const json_t* const second = json_array_get(notes, 3);
  check_number(second, "chorus", 2);
  check_text(second, "chord", "C");
  check_text(second, "degree", "b7");
  assert_true(json_is_false(json_object_get(second, "basic")));
  json_decref(all);
  reviewed_free(r);
}

static void test_landings_and_totals(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0.5, {1.5, 2, 64}, {3.75, 4, 60}, {15, 2, 71});
  json_t* const all = parsed(r.review, &plain);
  const json_t* const landings = json_object_get(all, "landings");
  assert_int_equal(json_array_size(landings), 4); // C, Am, G7, C again
  const json_t* const first = json_array_get(landings, 0);
  check_number(first, "change_beats", 0);
  check_null(first, "held_over");
  check_number(first, "first_onset", 0);
  check_number(first, "lag_beats", 1.5);
  check_text(first, "arrival", "none");
  check_number(first, "interval", 4);
  check_null(first, "target");
  check_null(first, "held");
  const json_t* const minor = json_array_get(landings, 1);
  check_text(minor, "chord", "Am");
  check_number(minor, "lag_beats", -0.25);
  check_text(minor, "arrival", "early");
  check_text(minor, "degree", "b3");
  const json_t* const target = json_object_get(minor, "target");
  check_text(target, "degree", "b3");
  check_text(target, "name", "C");
  assert_true(json_is_true(json_object_get(target, "met")));
  const json_t* const top = json_array_get(landings, 3);
  check_number(top, "held_over", 2);
  check_null(top, "first_onset");
  check_null(top, "lag_beats");
  check_text(top, "arrival", "held over");
  check_number(top, "interval", 11);
  check_text(top, "role", "scale tone");
  check_text(json_object_get(top, "held"), "degree", "7");
  const json_t* const totals = json_object_get(all, "totals");
  check_number(totals, "notes", 3);
  check_number(json_object_get(totals, "roles"), "chord tone", 3);
  check_number(json_object_get(totals, "degrees"), "3", 2);
  const json_t* const sums = json_object_get(totals, "landings");
  check_number(sums, "changes", 4);
  check_number(sums, "held over", 1);
  check_number(sums, "targets_met", 1);
  json_decref(all);
  reviewed_free(r);
}

// Beats are the written unit of the metre, as in the LV2 time extension.
static void test_beats_are_the_written_unit(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: C major\ntime: 6/8\n| C | G |\n", 0, 0, {3.5, 1, 67});
  json_t* const all = parsed(r.review, &plain);
  const json_t* const n = json_array_get(json_object_get(all, "notes"), 0);
  check_number(n, "onset_beats", 7);
  check_number(n, "duration_beats", 2);
  check_number(n, "bar", 2);
  check_number(n, "beat", 2);
  json_decref(all);
  reviewed_free(r);
}

static void test_names_of_any_bytes(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {0, 1, 60});
  const WayReviewHead head = {"a\"b\\c\n\xC3\xA9\xFF", "", {"x\0y", 3}};
  json_t* const all = parsed(r.review, &head);
  check_text(all, "take", "a\"b\\c\n\xC3\xA9\xEF\xBF\xBD");
  json_decref(all);
  reviewed_free(r);
}

// More chords and notes than are kept at hand: each note still has its own.
static void test_long_takes(void** state) {
  (void)state;
  static const char* const roots[] = {"C",  "Db", "D",  "Eb", "E",  "F",
                                      "F#", "G",  "Ab", "A",  "Bb", "B"};
  static const char* const kinds[] = {"",  "m",  "7", "maj7", "m7",
                                      "6", "m6", "9", "m9",   "sus4"};
  char text[2048] = "key: C major\n";
  for (size_t i = 0; i < 120; ++i) {
    strcat(text, i % 8 ? " | " : "\n| ");
    strcat(strcat(text, roots[i % 12]), kinds[i / 12]);
  }
  strcat(text, " |\n");
  Played notes[600];
  for (uint32_t i = 0; i < 600; ++i) notes[i] = (Played){i, 0.25, 48 + (int)(i % 4)};
  char name[70000];
  memset(name, 'x', sizeof(name) - 1);
  name[sizeof(name) - 1] = '\0';
  const Reviewed r = reviewed(text, 0, 0, notes, 600);
  json_t* const all = parsed(r.review, &(WayReviewHead){name, "", {"", 0}});
  check_text(all, "take", name);
  for (uint32_t i = 0; i < 600; ++i) {
    const json_t* const n = json_array_get(json_object_get(all, "notes"), i);
    const WayRoleOf role = r.review->notes[i].role;
    check_number(n, "interval", role.interval);
    check_text(n, "role", way_role_name((WayRole)role.role));
    const WayReviewPlace p =
        way_review_place(r.timeline, way_review_onset(r.review, i));
    check_number(n, "bar", (double)p.bar);
    check_number(n, "beat", 1 + (double)p.in_bar / WAY_TICKS_PER_QUARTER);
    char chord[WAY_SYMBOL_MAX];
    WayOut out = way_out(chord, sizeof(chord));
    way_chord_write(&r.timeline->harmonies[r.review->notes[i].harmony].chord, &out);
    check_text(n, "chord", chord);
  }
  json_decref(all);
  reviewed_free(r);
}

static void test_phrases(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(chart, 0, 0, {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64},
                              {3.5, 0.5, 58}, {4, 0.5, 60}, {4.5, 0.5, 62}, {7, 1, 74});
  json_t* const all = parsed(r.review, &plain);
  check_text(all, "form_line", "A A' B");
  const json_t* const phrases = json_object_get(all, "phrases");
  assert_int_equal(json_array_size(phrases), 3);
  const json_t* const second = json_array_get(phrases, 1);
  check_number(second, "first_note", 3);
  check_number(second, "last_note", 5);
  check_number(second, "start_beats", 3.5);
  check_number(second, "length_beats", 1.5);
  check_number(second, "space_beats", 2);
  check_number(second, "low", 58);
  check_number(second, "high", 62);
  check_number(second, "bar", 1);
  check_text(second, "motif", "A");
  check_text(second, "mark", "A'");
  check_text(second, "kind", "transposed");
  check_number(second, "like", 0);
  check_number(second, "answers", 0);
  check_number(second, "landing", 1);
  assert_true(json_is_true(json_object_get(second, "target_met"))); // C over Am
  check_text(json_object_get(second, "last"), "name", "D");
  check_text(json_object_get(second, "last"), "degree", "11");
  const json_t* const third = json_array_get(phrases, 2);
  check_null(third, "like");
  check_null(third, "landing");
  check_null(third, "target_met");
  json_decref(all);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_notes),
      cmocka_unit_test(test_landings_and_totals),
      cmocka_unit_test(test_beats_are_the_written_unit),
      cmocka_unit_test(test_names_of_any_bytes),
      cmocka_unit_test(test_phrases),
      cmocka_unit_test(test_long_takes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
