// Typing, against a list of characters that is edited the plain way.
#include "../../plugin/ui/line.h"
#include "check.h"
#include "rng.h"

#include <stdlib.h>

#define CHARACTERS_MAX 400u

/// The model: characters one by one.
typedef struct {
  const char* at[CHARACTERS_MAX];
  unsigned n, caret;
} Plain;

static const char* const characters[] = {"a", "|", "\u266D", "\n", "\u00F8", "7"};

static void plain_insert(Plain* p, const char* character) {
  memmove(&p->at[p->caret + 1], &p->at[p->caret], (p->n - p->caret) * sizeof(*p->at));
  p->at[p->caret++] = character;
  ++p->n;
}

static void plain_delete(Plain* p, bool behind) {
  if (behind ? p->caret == p->n : !p->caret) return;
  if (!behind) --p->caret;
  --p->n;
  memmove(&p->at[p->caret], &p->at[p->caret + 1], (p->n - p->caret) * sizeof(*p->at));
}

static void check_same(const WayLine* l, const Plain* p, uint32_t seed) {
  char text[4 * CHARACTERS_MAX] = "";
  size_t caret = 0;
  for (unsigned i = 0; i < p->n; ++i) {
    strcat(text, p->at[i]);
    if (i + 1 == p->caret) caret = strlen(text);
  }
  if (strcmp(l->text, text) != 0 || l->size != strlen(text) || l->caret != caret)
    fail_msg("seed %u: the line is \"%s\", not \"%s\"", seed, l->text, text);
}

static void test_typing_is_as_on_a_list(void** state) {
  (void)state;
  WayLine* const l = calloc(1, sizeof(*l));
  for (uint32_t seed = 1; seed <= 300; ++seed) {
    uint32_t rng = seed;
    Plain p = {.n = 0};
    way_line_set(l, way_text(""));
    for (unsigned i = 0; i < CHARACTERS_MAX - 2; ++i) {
      const uint32_t what = rng_below(&rng, 8);
      if (what < 4) {
        const char* const c = characters[rng_below(&rng, 6)];
        plain_insert(&p, c);
        assert_true(way_line_insert(l, way_text(c)));
      } else if (what < 6) {
        plain_delete(&p, what == 5);
        way_line_delete(l, what == 5);
      } else {
        const int by = what == 6 ? -1 : 1;
        if (by < 0 ? p.caret > 0 : p.caret < p.n) p.caret += (unsigned)by;
        way_line_move(l, by);
      }
      check_same(l, &p, seed);
    }
  }
  free(l);
}

static void test_what_is_no_text_is_left_out(void** state) {
  (void)state;
  WayLine* const l = calloc(1, sizeof(*l));
  way_line_set(l, way_text("| D\tG |\r\n| \xFF\x01 A\x7F |\xC3"));
  assert_string_equal(l->text, "| D G |\n|  A |");
  free(l);
}

static void test_what_does_not_fit_changes_nothing(void** state) {
  (void)state;
  WayLine* const l = calloc(1, sizeof(*l));
  char* const big = calloc(1, WAY_LINE_MAX + 1);
  memset(big, 'x', WAY_LINE_MAX);
  way_line_set(l, way_text("| D |"));
  assert_false(way_line_insert(l, way_text(big)));
  assert_string_equal(l->text, "| D |");
  big[WAY_LINE_MAX - 1] = 0;
  assert_true(way_line_set(l, way_text(big)));
  assert_false(way_line_insert(l, way_text("y")));
  assert_int_equal(l->size, WAY_LINE_MAX - 1);
  free(big);
  free(l);
}

static void test_up_and_down_keep_the_column(void** state) {
  (void)state;
  WayLine* const l = calloc(1, sizeof(*l));
  way_line_set(l, way_text("| D | G |\nab\n| A | D |"));
  way_line_end(l, false);
  assert_int_equal(l->caret, 13);
  for (int i = 0; i < 5; ++i) way_line_move(l, 1);
  way_line_step(l, -1);
  assert_int_equal(l->caret, 12); // the short line's end
  way_line_step(l, -1);
  assert_int_equal(l->caret, 2);
  way_line_step(l, -1);
  assert_int_equal(l->caret, 2);
  way_line_end(l, true);
  assert_int_equal(l->caret, 9);
  way_line_end(l, true);
  assert_int_equal(l->caret, l->size);
  way_line_step(l, 1);
  assert_int_equal(l->caret, l->size);
  free(l);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_typing_is_as_on_a_list),
      cmocka_unit_test(test_what_is_no_text_is_left_out),
      cmocka_unit_test(test_what_does_not_fit_changes_nothing),
      cmocka_unit_test(test_up_and_down_keep_the_column),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
