#include "draw/sheet_single.h"

#include "sheet.h"
#include "theory.h"

#include <stdio.h>

static WaySingle c_major_seventh(void) {
  const WayChord chord = a_chord("C", "1 3 5 7", NULL);
  return way_single_chord(&chord, "Cmaj7");
}

static void test_a_single_shows_its_notes(void** state) {
  (void)state;
  const WaySingle chord = c_major_seventh();
  assert_int_equal(chord.root, 0);
  assert_int_equal(chord.shown.set, 1u << 0 | 1u << 4 | 1u << 7 | 1u << 11);
  WayScale blues;
  assert_int_equal(way_scale_read(way_text("A minor blues"), &blues, NULL), WAY_OK);
  const WaySingle scale = way_single_scale(&blues, "A minor blues");
  assert_int_equal(scale.root, 9);
  assert_int_equal(scale.shown.set, way_scale_pcs(&blues));
}

/// Width and height of an SVG as its head says.
static void size_of(const WaySheetLook* look, double* width, double* height) {
  const WaySingle single = c_major_seventh();
  char* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_single_write(&single, look, WAY_CANVAS_SVG, &bytes, &size),
                   WAY_OK);
  char text[400]; // the head, as a string: `bytes` has no end mark
  assert_true(size >= sizeof(text));
  memcpy(text, bytes, sizeof(text) - 1);
  text[sizeof(text) - 1] = '\0';
  const char* const head = strstr(text, "width=");
  assert_non_null(head);
  assert_int_equal(sscanf(head, "width=\"%lf%*[^0-9]%lf", width, height), 2);
  free(bytes);
}

static void test_the_picture_grows_with_what_it_holds(void** state) {
  (void)state;
  WaySheetLook look = plain_look();
  double width, height, more_width, more_height;
  size_of(&look, &width, &height);
  look.large = true;
  size_of(&look, &more_width, &more_height);
  assert_true(more_width > width && more_height > height);
  look.large = false;
  look.all_positions = true;
  size_of(&look, &more_width, &more_height);
  assert_true(more_width > width && more_height > 2 * height);
  look.all_positions = false;
  look.window = true;
  look.frets.last = 12;
  size_of(&look, &more_width, &more_height);
  assert_true(more_width > width);
  look.keyboard = true;
  size_of(&look, &more_width, &more_height);
  assert_true(more_height > 100);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_single_shows_its_notes),
      cmocka_unit_test(test_the_picture_grows_with_what_it_holds),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
