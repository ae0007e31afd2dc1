#include "check.h"
#include "theory.h"
#include "theory/harmony.h"

static void test_harmony_agrees_with_its_parts(void** state) {
  (void)state;
  const WayKey key = a_key("C");
  const WayChord chord = a_chord("E", "1 3 5 b7", NULL);
  const WayHarmony h = way_harmony(&chord, key, NULL);
  assert_int_equal(h.material[WAY_MATERIAL_CHORD_SCALE], 0xB35);
  assert_int_equal(h.material[WAY_MATERIAL_TRIAD], 0x910);
  assert_int_equal(h.material[WAY_MATERIAL_PARENT], 0xAB5);
  assert_int_equal(h.material[WAY_MATERIAL_ALL], WAY_PCS_ALL);
  for (int pitch = 0; pitch < 128; ++pitch) {
    const WayRoleOf r = way_harmony_role(&h, pitch);
    assert_int_equal(r.interval, way_pc(pitch - 4));
    const WayPc pc = way_pc(pitch);
    assert_int_equal(r.role == WAY_ROLE_CHORD, way_pcs_has(way_chord_pcs(&chord), pc));
    assert_int_equal(r.role != WAY_ROLE_CHROMATIC, way_pcs_has(0xB35, pc));
  }
  const WayLoopPcs other = way_material_pcs_of_key(a_key("A minor"));
  const WayHarmony with = way_harmony(&chord, key, &other);
  assert_int_equal(with.material[WAY_MATERIAL_BLUES], other.blues);
  assert_memory_equal(with.roles, h.roles, sizeof(h.roles));
}

static void test_spelling(void** state) {
  (void)state;
  static const struct {
    const char *key, *root, *tones, *notes; // pitch classes 0..11
  } cases[] = {
      {"C", "E", "1 3 5 b7", "C C# D Eb E F F# G G# A Bb B"},
      {"C", "Bb", "1 3 5 b7", "C C# D Eb E F F# G Ab A Bb B"},
      {"D minor", "C#", "1 b3 b5 bb7", "C C# D Eb E F F# G Ab A Bb B"},
      {"C", "C", "1 b3 b5 bb7", "C C# D Eb E F Gb G Ab Bbb Bb B"},
      {"C", "Db", "1 3 5 b7", "C Db D Eb E F F# G Ab A Bb Cb"},
      {"F#", "F#", "1 3 #5", "B# C# C## D# E E# F# F## G# A A# B"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayChord chord = a_chord(cases[i].root, cases[i].tones, NULL);
    const WayHarmony h = way_harmony(&chord, a_key(cases[i].key), NULL);
    char text[64];
    WayOut out = way_out(text, sizeof(text));
    for (WayPc pc = 0; pc < 12; ++pc) {
      if (pc) way_out_char(&out, ' ');
      way_spelling_write(way_harmony_spell(&h, pc), &out);
    }
    assert_string_equal(text, cases[i].notes);
  }
}

static void test_no_chord(void** state) {
  (void)state;
  const WayChord none = way_chord_none();
  const WayHarmony h = way_harmony(&none, a_key("Eb"), NULL);
  assert_int_equal(way_harmony_role(&h, 62).role, WAY_ROLE_SCALE);
  assert_int_equal(way_harmony_role(&h, 62).degree.number, 7);
  assert_int_equal(way_harmony_role(&h, 64).role, WAY_ROLE_CHROMATIC);
  char text[8];
  WayOut out = way_out(text, sizeof(text));
  way_spelling_write(way_harmony_spell(&h, 8), &out);
  assert_string_equal(text, "Ab");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_harmony_agrees_with_its_parts),
      cmocka_unit_test(test_spelling),
      cmocka_unit_test(test_no_chord),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
