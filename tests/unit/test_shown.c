#include "draw/shown.h"
#include "theory.h"

static const char* sign(const WayShown* s, WayPc pc, char* buffer) {
  WayOut out = way_out(buffer, WAY_SIGN_MAX);
  way_shown_sign(s, pc, &out);
  return buffer;
}

static void test_a_material_over_a_chord(void** state) {
  (void)state;
  const WayChord chord = a_chord("E", "1 3 5 b7", NULL);
  const WayHarmony h = way_harmony(&chord, a_key("A minor"), NULL);
  WayShown s = way_shown_material(&h, WAY_MATERIAL_CHORD_SCALE);
  char text[WAY_SIGN_MAX];
  assert_int_equal(s.set, h.material[WAY_MATERIAL_CHORD_SCALE]);
  assert_string_equal(sign(&s, 8, text), "3");
  assert_string_equal(sign(&s, 5, text), "\u266D"
                                         "9");
  s.by_name = true;
  assert_string_equal(sign(&s, 8, text), "G\u266F");
  assert_int_equal(way_shown_chord(&h).set, 1 << 4 | 1 << 8 | 1 << 11 | 1 << 2);
}

static void test_a_scale_counts_from_its_tonic(void** state) {
  (void)state;
  WayScale scale;
  assert_int_equal(way_scale_read(way_text("Eb dorian"), &scale, NULL), WAY_OK);
  WayShown s = way_shown_scale(&scale);
  char text[WAY_SIGN_MAX];
  assert_int_equal(s.roles[3].role, WAY_ROLE_CHORD);
  assert_string_equal(sign(&s, 3, text), "R");
  assert_int_equal(s.roles[6].role, WAY_ROLE_SCALE);
  assert_string_equal(sign(&s, 6, text), "\u266D"
                                         "3");
  s.by_name = true;
  assert_string_equal(sign(&s, 6, text), "G\u266D");
  assert_string_equal(sign(&s, 0, text), "C");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_material_over_a_chord),
      cmocka_unit_test(test_a_scale_counts_from_its_tonic),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
