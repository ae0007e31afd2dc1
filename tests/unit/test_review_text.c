#include "check.h"
#include "played.h"
#include "take/review_text.h"

static char* printed(const WayReview* r, const WayReviewHead* head) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  assert_int_equal(way_review_text(r, head, to), WAY_OK);
  assert_false(fclose(to));
  return text;
}

static void check_holds(const char* text, const char* part) {
  if (!strstr(text, part)) fail_msg("\"%s\" is not in:\n%s", part, text);
}

static void test_rows(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n| D | G>3 | Asus4 | N.C. |\n", 4, 0, {3, 1, 66},
               {4, 1, 66}, {8, 1, 71}, {9, 1, 70}, {16.1, 1, 64});
  char* const text = printed(r.review, &(WayReviewHead){"t.mid", "", {"a\tb", 3}});
  check_holds(text,
              "t.mid, track 0 (a?b), over its chart in D major: 4 bars a chorus\n");
  check_holds(
      text, "\n     0     0   4.00  +0.00    1.00  F#    -      -       scale tone\n");
  check_holds(
      text, "\n     1     1   1.00  +0.00    1.00  F#    D      3       chord tone\n");
  check_holds(text,
              "\n     1     2   2.00  +0.00    1.00  Bb    G      #9      chromatic   "
              "incomplete neighbour\n");
  check_holds(
      text, "\n     1     4   1.10  +0.10    1.00  E     N.C.   -       scale tone\n");
  check_holds(text, "\n     1     2   1.00  G      on time      0.00  B     3       "
                    "chord tone  3, met\n");
  check_holds(text,
              "\n     1     3   1.00  Asus4  none            -  -     -       -\n");
  check_holds(text, "\nD            1  R 5                3 1\n");
  check_holds(text, "\nAsus4        1  R 4 5              -\n");
  assert_null(strstr(text, " \n"));
  check_holds(text, "  5 notes: 2 chord tones, 2 scale tones, 1 chromatic\n");
  check_holds(text, "  3 landings: 0 early, 2 on time, 0 late, 0 held over, 1 none; "
                    "2 on chord tones\n");
  check_holds(text, "    notes on basic chord tones       40 % here, 48 % there\n");
  check_holds(text, "  1 targets planned, 1 met\n");
  free(text);
  reviewed_free(r);
}

static void test_form_and_resolutions(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n[A]\n| D |\n[B]\n| G |\n", 0, 0, {0, 1, 66}, {1, 1, 67},
               {2, 1, 69}, {3, 2, 71}, {8, 1, 66});
  char* const text = printed(r.review, &(WayReviewHead){"t.mid", "Rope Walk", {"", 0}});
  check_holds(text, "  11      scale tone  passing tone, to A after 1.00\n");
  check_holds(text, ", the next chord has it\n");
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
  char* const text = printed(r.review, &(WayReviewHead){"t.mid", "Rope Walk", {"", 0}});
  static const char* const judging[] = {"wrong", "mistake", "error", "fail",
                                        "score", "bad",     "miss",  "poor"};
  for (size_t i = 0; i < WAY_COUNT(judging); ++i) assert_null(strstr(text, judging[i]));
  check_holds(text, "over Rope Walk in");
  check_holds(text,
              "\nWhat to try next\n  1 planned landing is still open: bar 1. Sing");
  check_holds(text, ".\n    Preset \"8 Free, with a landing\".\n");
  free(text);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_rows),
      cmocka_unit_test(test_form_and_resolutions),
      cmocka_unit_test(test_every_word_describes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
