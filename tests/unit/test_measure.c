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

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_near_to_what_painting_takes),
      cmocka_unit_test(test_characters_are_counted_not_bytes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
