#include "draw/measure.h"

#include "check.h"
#include "draw/label.h"
#include "theory.h"
#include "theory/chord_read.h"

static cairo_t* ground(void) {
  cairo_surface_t* const surface = cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1);
  cairo_t* const cr = cairo_create(surface);
  cairo_surface_destroy(surface);
  return cr;
}

// Compared with the letters themselves: never much too narrow, nor far too wide.
static void test_near_to_what_painting_takes(void** state) {
  (void)state;
  static const char* const texts[] = {
      "A",       "Verse", "Introduction with drums", "material chord-scale",
      "illicit", "MMW"};
  static const char* const symbols[] = {"C",      "Bb",    "F#m7b5", "Ebmaj7#11",
                                        "G#13b9", "D7alt", "A7sus4", "C6/9"};
  cairo_t* const cr = ground();
  for (size_t i = 0; i < WAY_COUNT(texts); ++i) {
    const double is =
        way_label_width(cr, &(WayLabelStyle){1, false, WAY_ALIGN_LEFT, 0}, texts[i]);
    const double guess = way_measure_text(texts[i]);
    if (guess < 0.85 * is || guess > 1.3 * is)
      fail_msg("%s: %g, not %g", texts[i], guess, is);
  }
  for (size_t i = 0; i < WAY_COUNT(symbols); ++i) {
    WayChord chord;
    assert_int_equal(way_chord_read(way_text(symbols[i]), &chord, NULL), WAY_OK);
    const double is = way_label_symbol_width(
        cr, &(WayLabelStyle){1, true, WAY_ALIGN_LEFT, 0}, symbols[i]);
    const double guess = way_measure_symbol(&chord);
    if (guess < 0.95 * is || guess > 1.3 * is + 0.5)
      fail_msg("%s: %g, not %g", symbols[i], guess, is);
  }
  cairo_destroy(cr);
}

static void test_characters_are_counted_not_bytes(void** state) {
  (void)state;
  assert_near(way_measure_text("\u00E9\u00E9"), way_measure_text("ee"), 1e-9);
  assert_near(way_measure_text(""), 0, 1e-9);
}

static void test_lines_break_at_blanks_and_lose_nothing(void** state) {
  (void)state;
  static const char text[] = "Take a few bars, slowly and evenly, and listen to each.";
  for (double width = 20; width < 400; width += 7) {
    WayText lines[40];
    const unsigned n = way_measure_wrap(text, 8, width, WAY_COUNT(lines), lines);
    size_t letters = 0, wanted = 0;
    for (unsigned i = 0; i < n; ++i) {
      assert_true((double)lines[i].size * 0.54 * 8 <= width + 1e-9);
      assert_true(lines[i].at[0] != ' ');
      for (size_t k = 0; k < lines[i].size; ++k) letters += lines[i].at[k] != ' ';
    }
    for (const char* at = text; *at; ++at) wanted += *at != ' ';
    assert_int_equal(letters, wanted);
    // No line is nearly empty: words are no longer than 7 letters.
    if (width > 100)
      for (unsigned i = 0; i < n; ++i)
        assert_true(lines[i].size + 9 * n > lines[0].size);
  }
  WayText lines[2];
  assert_int_equal(way_measure_wrap(text, 8, 60, 2, lines), 2);
  assert_ptr_equal(lines[1].at + lines[1].size, text + strlen(text));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_near_to_what_painting_takes),
      cmocka_unit_test(test_characters_are_counted_not_bytes),
      cmocka_unit_test(test_lines_break_at_blanks_and_lose_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
