#include "check.h"
#include "contrast.h"

static void test_names_differ(void** state) {
  (void)state;
  for (WayThemeName t = WAY_THEME_LIGHT; t < WAY_THEME_COUNT; ++t)
    for (WayThemeName u = WAY_THEME_LIGHT; u < t; ++u)
      assert_string_not_equal(way_theme_name(t), way_theme_name(u));
}

// The formula's own fixed points, and two greys: 4.54 is W3C's own example of #767676.
static void test_contrast_is_that_of_the_guidelines(void** state) {
  (void)state;
  const WayColour white = {1, 1, 1}, black = {0, 0, 0};
  const WayColour grey = {0x76 / 255.0, 0x76 / 255.0, 0x76 / 255.0};
  assert_near(contrast(white, black), 21, 1e-6);
  assert_near(contrast(grey, grey), 1, 1e-6);
  assert_near(contrast(grey, white), 4.54, 0.01);
}

// Letters: 4.5 : 1 (WCAG 2.1, 1.4.3); signs: 3 : 1 (1.4.11) or with an edge that has
// it.
static void test_everything_can_be_read(void** state) {
  (void)state;
  for (WayThemeName n = WAY_THEME_LIGHT; n < WAY_THEME_COUNT; ++n) {
    const WayTheme* const t = way_theme(n);
    assert_true(contrast(t->ink, t->ground) >= 12);
    assert_true(contrast(t->ink, t->band) >= 10);
    assert_true(contrast(t->soft, t->ground) >= 4.5);
    assert_true(contrast(t->soft, t->band) >= 4.5);
    assert_true(contrast(t->target, t->ground) >= 3 ||
                contrast(t->edge, t->ground) >= 3);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_names_differ),
      cmocka_unit_test(test_contrast_is_that_of_the_guidelines),
      cmocka_unit_test(test_everything_can_be_read),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
