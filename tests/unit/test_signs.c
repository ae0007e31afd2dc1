#include "draw/signs.h"

#include "check.h"
#include "theory.h"

static void test_words_have_music_signs(void** state) {
  (void)state;
  char text[64];
  WayOut out = way_out(text, sizeof(text));
  way_signs_key(a_key("Bb minor"), &out);
  assert_string_equal(text, "B\u266D minor");
  out = way_out(text, sizeof(text));
  WayScale scale;
  assert_int_equal(way_scale_read(way_text("F# dorian"), &scale, NULL), WAY_OK);
  way_signs_scale(&scale, &out);
  assert_string_equal(text, "F\u266F dorian");
  const WayChord chord = a_chord("Eb", "1 b3 5 b7", NULL);
  const WayHarmony h = way_harmony(&chord, a_key("Eb minor"), NULL);
  out = way_out(text, sizeof(text));
  way_signs_notes(&h, way_chord_pcs(&chord), &out);
  assert_string_equal(text, "E\u266D  G\u266D  B\u266D  D\u266D");
  out = way_out(text, sizeof(text));
  way_signs_notes(&h, 0, &out);
  assert_string_equal(text, "\u2013");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_words_have_music_signs),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
