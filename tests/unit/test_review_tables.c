#include "check.h"
#include "played.h"
#include "take/review_tables.h"

static void check_holds(const WayReview* r, const char* part) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  way_review_tables(r, to);
  assert_false(fclose(to));
  assert_null(strstr(text, " \n"));
  if (!strstr(text, part)) fail_msg("\"%s\" is not in:\n%s", part, text);
  free(text);
}

static void test_rows(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n| D | G>3 | Asus4 | N.C. |\n", 4, 0, {3, 1, 66},
               {4, 1, 66}, {8, 1, 71}, {9, 1, 70}, {16.1, 1, 64});
  static const char* const parts[] = {
      "\n     0     0   4.00  +0.00    1.00  F#    -      -       scale tone\n",
      "\n     1     1   1.00  +0.00    1.00  F#    D      3       chord tone\n",
      "\n     1     2   2.00  +0.00    1.00  Bb    G      #9      chromatic   "
      "incomplete neighbour\n",
      "\n     1     4   1.10  +0.10    1.00  E     N.C.   -       scale tone\n",
      "\n     1     2   1.00  G      on time      0.00  B     3       "
      "chord tone  3, met\n",
      "\n     1     3   1.00  Asus4  none            -  -     -       -\n",
      "  5 notes: 2 chord tones, 2 scale tones, 1 chromatic\n",
      "  3 landings: 0 early, 2 on time, 0 late, 0 held over, 1 none; "
      "2 on chord tones\n",
      "  1 targets planned, 1 met\n"};
  for (size_t i = 0; i < WAY_COUNT(parts); ++i) check_holds(r.review, parts[i]);
  reviewed_free(r);
}

static void test_where_tensions_go(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: D major\n[A]\n| D |\n[B]\n| G |\n", 0, 0,
                              {0, 1, 66}, {1, 1, 67}, {2, 1, 69}, {3, 2, 71});
  check_holds(r.review, "  11      scale tone  passing tone, to A after 1.00\n");
  check_holds(r.review, ", the next chord has it\n");
  reviewed_free(r);
}

static void test_a_hair_before_a_bar_is_shown_as_its_beginning(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("| C | G |\n", 0, 0, {0, 1, 60}, {3.997, 1, 67});
  check_holds(r.review, "\n     1     2   1.00  +0.00    1.00  G     C      5");
  reviewed_free(r);
}

static void test_phrases(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n| D | G |\n", 0, 0, {0, 0.5, 66}, {0.5, 0.5, 67},
               {1, 0.5, 69}, {4, 0.5, 71}, {4.5, 0.5, 72}, {5, 0.5, 74});
  check_holds(r.review,
              "\n     1     1   1.00      3    1.50    2.50      3  3 chord tone"
              "     5 chord tone     A\n");
  check_holds(r.review,
              "\n     1     2   1.00      3    1.50    0.00      3  3 chord tone"
              "     5 chord tone     A', transposed\n");
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_rows),
      cmocka_unit_test(test_where_tensions_go),
      cmocka_unit_test(test_phrases),
      cmocka_unit_test(test_a_hair_before_a_bar_is_shown_as_its_beginning),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
