#include "draw/take_picture.h"

#include "check.h"
#include "played.h"

/// A take drawn as SVG, to be freed with free().
static char* drawn(Reviewed r) {
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(
      way_take_picture(r.review, "Rope Walk", "a.mid", WAY_CANVAS_SVG, &bytes, &size),
      WAY_OK);
  char* const text = calloc(1, size + 1);
  assert_non_null(text);
  memcpy(text, bytes, size);
  free(bytes);
  reviewed_free(r);
  return text;
}

static unsigned count(char* text, const char* word) {
  unsigned n = 0;
  for (const char* at = text; (at = strstr(at, word)); ++at) ++n;
  free(text);
  return n;
}

static const char chart[] = "key: D major\n| D | G>3 |\n";
static const char plain[] = "key: D major\n| D | G |\n";

// The colours of the roles and of the halo, as SVG writes them: #009E73, #56B4E9,
// #D55E00 and #F0E442 (Okabe and Ito).
#define GREEN "61.960784%"
#define BLUE "70.588235%"
#define VERMILION "36.862745%"
#define YELLOW "89.411765%"

// The legend has one of each.
static void test_each_note_has_the_sign_of_its_role(void** state) {
  (void)state;
  assert_int_equal(count(drawn(REVIEWED(plain, 0, 0, {0, 1, 66})), GREEN), 2);
  assert_int_equal(
      count(drawn(REVIEWED(plain, 0, 0, {0, 1, 66}, {1, 1, 69}, {4, 1, 71})), GREEN),
      4);
  assert_int_equal(count(drawn(REVIEWED(plain, 0, 0, {0, 1, 66}, {1, 1, 67})), BLUE),
                   2);
  assert_int_equal(
      count(drawn(REVIEWED(plain, 0, 0, {0, 1, 66}, {1, 1, 65})), VERMILION), 2);
}

static void test_planned_landings_have_halos(void** state) {
  (void)state;
  const unsigned none =
      count(drawn(REVIEWED(plain, 0, 0, {0, 1, 66}, {4, 1, 71})), YELLOW);
  const unsigned met =
      count(drawn(REVIEWED(chart, 0, 0, {0, 1, 66}, {4, 1, 71})), YELLOW);
  const unsigned open =
      count(drawn(REVIEWED(chart, 0, 0, {0, 1, 66}, {4, 1, 74})), YELLOW);
  assert_int_equal(met, none + 1);
  assert_int_equal(open, none + 1);
}

// A note held from one system into the next is drawn in both, with one head.
static void test_notes_go_on_in_the_next_system(void** state) {
  (void)state;
  const char two[] = "key: D major\n[A]\n| D |\n[B]\n| G |\n";
  const Played apart[] = {{0, 1, 62}, {4, 1, 71}}, held[] = {{0, 6, 62}, {4, 1, 71}};
  static const char bar[] = "rgb(66%,"; // a third of green, the rest white
  const unsigned bars = count(drawn(reviewed(two, 0, 0, apart, 2)), bar);
  assert_int_equal(count(drawn(reviewed(two, 0, 0, held, 2)), bar), bars + 1);
  const unsigned heads = count(drawn(reviewed(two, 0, 0, apart, 2)), GREEN);
  assert_int_equal(count(drawn(reviewed(two, 0, 0, held, 2)), GREEN), heads);
}

static void test_pages_follow_for_long_takes(void** state) {
  (void)state;
  Played notes[400];
  for (int i = 0; i < 400; ++i) notes[i] = (Played){i, 1, 60 + i % 12};
  const Reviewed r = reviewed(chart, 0, 0, notes, 400);
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(
      way_take_picture(r.review, "", "a.mid", WAY_CANVAS_PDF, &bytes, &size), WAY_OK);
  char* const text = calloc(1, size + 1);
  assert_non_null(text);
  for (size_t i = 0; i < size; ++i) text[i] = bytes[i] ? bytes[i] : ' ';
  const char* const pages = strstr(text, "/Count ");
  assert_non_null(pages);
  assert_true(strtol(pages + 7, NULL, 10) > 2);
  free(text);
  free(bytes);
  reviewed_free(r);
}

static void test_a_take_before_the_chart_and_one_without_notes(void** state) {
  (void)state;
  free(drawn(REVIEWED(chart, 8, 0, {1, 1, 60}, {2, 9, 61})));
  free(drawn(reviewed(chart, 0, 0, NULL, 0)));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_each_note_has_the_sign_of_its_role),
      cmocka_unit_test(test_planned_landings_have_halos),
      cmocka_unit_test(test_notes_go_on_in_the_next_system),
      cmocka_unit_test(test_pages_follow_for_long_takes),
      cmocka_unit_test(test_a_take_before_the_chart_and_one_without_notes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
