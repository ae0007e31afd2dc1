#include "check.h"
#include "theory/chord_fold.h"

static const char* folded(WayText text) {
  static char to[WAY_FOLD_MAX];
  memset(to, 'x', sizeof(to));
  way_chord_fold(text, to);
  for (unsigned i = 0; i < WAY_FOLD_ZEROS; ++i) assert_int_equal(to[strlen(to) + i], 0);
  return to;
}

static void test_signs_become_ascii(void** state) {
  (void)state;
  static const char* const cases[][2] = {
      {"F#m7b5", "F#m7b5"},
      {"F\u266Fm7(\u266D5)", "F#m7(b5)"},
      {"C\u0394\u2077", "C^7"},
      {"C\u00B0", "Co"},
      {"C\u00F87", "Ch7"},
      {"C\u22127", "C-7"},
      {"B\U0001D12B", "Bbb"},
      {"C\u1D50\u1D43\u02B2\u2077", "Cmaj7"},
      {"C\u2076\u2044\u2089", "C6/9"},
      {"\t C\u266E7 ", "  C\3"
                       "7"},
      {"C\u00E9", "C\1"},
      {"C\xFF", "C\1"},
      {"", ""},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_string_equal(folded(way_text(cases[i][0])), cases[i][1]);
}

static void test_long_text_is_cut_and_says_so(void** state) {
  (void)state;
  char text[4 * WAY_FOLD_CHARS];
  memset(text, 'b', sizeof(text));
  const char* const plain = folded((WayText){text, sizeof(text)});
  assert_int_equal(strlen(plain), WAY_FOLD_CHARS + 1);
  assert_int_equal(plain[WAY_FOLD_CHARS], WAY_FOLD_TOO_LONG);
  assert_int_equal(strlen(folded((WayText){text, WAY_FOLD_CHARS})), WAY_FOLD_CHARS);
  // A double flat at the very end of the room takes two characters.
  memcpy(text + WAY_FOLD_CHARS - 1, "\U0001D12B", 4);
  assert_int_equal(strlen(folded((WayText){text, WAY_FOLD_CHARS + 3})),
                   WAY_FOLD_CHARS + 1);
}

static void test_places_lead_back(void** state) {
  (void)state;
  const WayText text = way_text("B\U0001D12B\u0394q");
  static const struct {
    size_t folded, byte;
    unsigned column;
  } cases[] = {{0, 0, 1}, {1, 1, 2}, {2, 1, 2}, {3, 5, 3}, {4, 7, 4}};
  assert_string_equal(folded(text), "Bbb^q");
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayCursor place = way_chord_fold_place(text, cases[i].folded);
    assert_int_equal(place.byte, cases[i].byte);
    assert_int_equal(place.column, cases[i].column);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_signs_become_ascii),
      cmocka_unit_test(test_long_text_is_cut_and_says_so),
      cmocka_unit_test(test_places_lead_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
