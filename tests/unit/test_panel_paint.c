#include "draw/panel_paint.h"

#include "canvas.h"
#include "theory.h"

static int ink_in(const Canvas* c, WayBox b, WayColour ink) {
  return canvas_count(c, b.x, b.y, b.width, b.height, ink);
}

// From C to Am only A is new: a bar stands over the first tone and over no other.
static void test_new_tones_stand_out(void** state) {
  (void)state;
  const WayTheme* const theme = way_theme(WAY_THEME_LIGHT);
  const WayKey key = a_key("C major");
  const WayChord c_major = a_chord("C", "1 3 5", NULL);
  const WayChord a_minor = a_chord("A", "1 b3 5", NULL);
  const WayHarmony now = way_harmony(&c_major, key, NULL);
  const WayHarmony next = way_harmony(&a_minor, key, NULL);
  const WayChordPanel p = way_panel_next((WayBox){10, 0, 500, 300});
  Canvas c = canvas_of(520, 300, theme->ground);
  way_panel_next_paint(c.cr, &p, theme, &now, &next, 2, 4, (WayPanelPulse){1, 0},
                       (WayDegree){3, -1});
  for (unsigned i = 0; i < 3; ++i) {
    double width;
    const double x = way_panel_tone_x(&p, i, 3, &width);
    const WayBox bar = {x - 0.3 * p.tone, p.tone_y - 0.9 * p.tone, 0.6 * p.tone,
                        0.3 * p.tone};
    assert_int_equal(ink_in(&c, bar, theme->ink) > 20, i == 0);
    const WayBox degree = {x - 1.5 * p.degree, p.degree_y - 1.2 * p.degree,
                           3 * p.degree, 2.3 * p.degree};
    assert_int_equal(ink_in(&c, degree, theme->target) > 20, i == 1);
  }
  canvas_free(c);
}

// The knots that begin a group reach farther above the line than the others.
static void test_groups_stand_out(void** state) {
  (void)state;
  const WayTheme* const theme = way_theme(WAY_THEME_LIGHT);
  const WayPanelPulse threes = {3, 0};
  const WayChord chord = a_chord("C", "1 3 5", NULL);
  const WayHarmony next = way_harmony(&chord, a_key("C major"), NULL);
  const WayChordPanel p = way_panel_next((WayBox){10, 0, 900, 560});
  const WayPanelWay w = way_panel_way(&p, 12, 12, threes);
  Canvas c = canvas_of(920, 560, theme->ground);
  way_panel_next_paint(c.cr, &p, theme, NULL, &next, 12, 12, threes, (WayDegree){0, 0});
  assert_int_equal(w.knots, 12);
  for (unsigned i = 1; i < w.knots; ++i) { // the place is at the last
    bool heavy;
    const double x = way_panel_knot(&w, i, &heavy);
    const WayBox above = {x - 2, w.y - 0.92 * w.weight, 4, 0.2 * w.weight};
    assert_int_equal(ink_in(&c, above, theme->ink) > 4, i % 3 == 0);
    assert_int_equal(heavy, i % 3 == 0);
  }
  canvas_free(c);
}

/// The highest row with ink where the count stands; `word` receives how much is
/// written to its left.
static int top_of_count(const char* root, const char* tones, double until, int* word) {
  const WayTheme* const theme = way_theme(WAY_THEME_LIGHT);
  const WayChord chord = a_chord(root, tones, NULL);
  const WayHarmony next = way_harmony(&chord, a_key("C major"), NULL);
  const WayChordPanel p = way_panel_next((WayBox){10, 0, 500, 300});
  Canvas c = canvas_of(520, 300, theme->ground);
  way_panel_next_paint(c.cr, &p, theme, NULL, &next, until, 16, (WayPanelPulse){1, 0},
                       (WayDegree){0, 0});
  int y = 0;
  while (y < 300 && !ink_in(&c, (WayBox){450, y, 60, 1}, theme->ink)) ++y;
  const WayBox beside = {12 + p.room, p.symbol_y, 40, 0.4 * p.symbol};
  const int all = (int)beside.width * (int)beside.height;
  *word = all - ink_in(&c, beside, theme->ground);
  canvas_free(c);
  return y;
}

static void test_the_count_is_large_and_its_word_gives_way(void** state) {
  (void)state;
  int word;
  const int one = top_of_count("C", "1 3 5", 2, &word);
  assert_true(word > 20);
  assert_near(top_of_count("C", "1 3 5", 12, &word), one, 1.1); // smooth edges
  // A symbol that takes all its room leaves none for the word.
  assert_near(top_of_count("Gb", "1 b3 b5 b7 9 11 b13", 12, &word), one, 1.1);
  assert_int_equal(word, 0);
}

static void test_without_chords_there_is_a_dash(void** state) {
  (void)state;
  const WayTheme* const theme = way_theme(WAY_THEME_DARK);
  const WayChordPanel p = way_panel_now((WayBox){0, 0, 300, 200});
  Canvas c = canvas_of(300, 200, theme->ground);
  way_panel_now_paint(c.cr, &p, theme, NULL);
  way_panel_next_paint(c.cr, &p, theme, NULL, NULL, 0, 0, (WayPanelPulse){0, 0},
                       (WayDegree){0, 0});
  assert_true(ink_in(&c, p.box, theme->soft) > 20);
  assert_int_equal(ink_in(&c, p.box, theme->ink), 0);
  canvas_free(c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_new_tones_stand_out),
      cmocka_unit_test(test_groups_stand_out),
      cmocka_unit_test(test_the_count_is_large_and_its_word_gives_way),
      cmocka_unit_test(test_without_chords_there_is_a_dash),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
