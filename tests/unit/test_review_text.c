#include "check.h"
#include "played.h"
#include "take/review_text.h"

static char* printed(const WayReview* r, const WayReviewHead* head, bool tables) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  assert_int_equal(way_review_text(r, head, tables, to), WAY_OK);
  assert_false(fclose(to));
  return text;
}

static void check_holds(const char* text, const char* part) {
  if (!strstr(text, part)) fail_msg("\"%s\" is not in:\n%s", part, text);
}

static void test_a_page(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n| D | G>3 | Asus4 | N.C. |\n", 4, 0, {3, 1, 66},
               {4, 1, 66}, {8, 1, 71}, {9, 1, 70}, {16.1, 1, 64});
  const WayReviewHead head = {"t.mid", "", {"a\tb", 3}};
  char* const text = printed(r.review, &head, false);
  check_holds(text, "A take over its chords in D major, 4 bars a chorus\n"
                    "t.mid, track 0 (a?b): 5 notes\n");
  check_holds(text, "\nD            1  R 5                3 1\n");
  check_holds(text, "\nAsus4        1  R 4 5              -\n");
  check_holds(text, "  notes on basic chord tones      "
                    "........xo...........   40 % here, 48 % there\n");
  check_holds(text, "\n  2 notes where no chord sounds, set against the key\n");
  check_holds(text, "\n  bar 0            A");
  assert_null(strstr(text, " \n"));
  assert_null(strstr(text, "\nNotes\n"));
  free(text);
  char* const whole = printed(r.review, &head, true);
  check_holds(whole, "\nNotes\n");
  free(whole);
  reviewed_free(r);
}

static void test_the_form_line(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("| C | F | C |\n", 0, 0, {0, 0.5, 60}, {0.5, 0.5, 62}, {1, 0.5, 64},
               {1.5, 0.5, 60}, {3.98, 0.5, 60}, {4.5, 0.5, 62}, {5, 0.5, 64},
               {5.5, 0.5, 60}, {8, 0.5, 72}, {8.5, 6, 65}, {16, 0.5, 65},
               {16.5, 0.5, 67}, {17, 0.5, 69}, {17.5, 0.5, 65});
  char* const text = printed(r.review, &(WayReviewHead){"t.mid", "", {"", 0}}, false);
  check_holds(text, "\n  bar 1            A       A       B\n"
                    "  chorus 2 bar 1   -       A'\n");
  free(text);
  reviewed_free(r);
}

static void test_long_takes_stay_on_a_page(void** state) {
  (void)state;
  enum { N = 400 };
  static Played notes[2 * N];
  for (int i = 0; i < N; ++i) {
    notes[2 * i] = (Played){4.0 * i, 0.5, 60 + i % 7};
    notes[2 * i + 1] = (Played){4.0 * i + 0.5, 0.5, 67 - i % 5};
  }
  const Reviewed r = reviewed("[A]\n| C |\n[B]\n| F |\n", 0, 0, notes, 2 * N);
  char* const text = printed(r.review, &(WayReviewHead){"t.mid", "", {"", 0}}, false);
  unsigned lines = 0;
  for (const char* c = text; *c; ++c) lines += *c == '\n';
  assert_in_range(lines, 30, 80);
  check_holds(text, "\n  and 388 more (--json)\n");
  check_holds(text, "\n  and so on (--json)\n");
  free(text);
  reviewed_free(r);
}

static void test_form(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n[A]\n| D |\n[B]\n| G |\n", 0, 0, {0, 1, 66}, {1, 1, 67},
               {2, 1, 69}, {3, 2, 71}, {8, 1, 66});
  char* const text =
      printed(r.review, &(WayReviewHead){"t.mid", "Rope Walk", {"", 0}}, false);
  check_holds(text, "\n     1     1  -                 F# (3 of D)       G (11 of D)"
                    "       A, top\n");
  check_holds(text, "\n     1     2  B (13 of D)       B (13 of D)       F# (3 of D)"
                    "       B\n");
  free(text);
  reviewed_free(r);
}

static void test_every_word_describes(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n| D>3 | G |\n", 0, 0, {0, 1, 61}, {4, 1, 68});
  char* const text =
      printed(r.review, &(WayReviewHead){"t.mid", "Rope Walk", {"", 0}}, true);
  static const char* const judging[] = {"wrong", "mistake", "error", "fail",
                                        "score", "bad",     "miss",  "poor"};
  for (size_t i = 0; i < WAY_COUNT(judging); ++i) assert_null(strstr(text, judging[i]));
  check_holds(text, "Rope Walk in D major, 2 bars a chorus\n");
  check_holds(text,
              "\nWhat to try next\n  1. 1 planned landing is still open: bar 1. Sing");
  check_holds(text, "Stage \"8 Free, with a landing\";");
  check_holds(text, "waymark map -m seventh CHART.\n");
  free(text);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_page),
      cmocka_unit_test(test_the_form_line),
      cmocka_unit_test(test_long_takes_stay_on_a_page),
      cmocka_unit_test(test_form),
      cmocka_unit_test(test_every_word_describes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
