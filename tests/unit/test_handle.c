#include "check.h"
#include "live/handle.h"
#include "live/ledger.h"
#include "theory/chord_name.h"

static WayHarmony over(const char* symbol) {
  WayChord chord;
  assert_int_equal(way_chord_read(way_text(symbol), &chord, NULL), WAY_OK);
  return way_harmony(&chord, (WayKey){{0, 0}, WAY_MODE_MAJOR}, NULL);
}

static WaySettings with(WayHandling handling, WayMaterial material) {
  WaySettings s = way_settings_default();
  s.handling = handling;
  s.material = material;
  return s;
}

static void test_every_material_by_its_definition(void** state) {
  (void)state;
  const WayHarmony h = over("Dm7");
  for (unsigned m = 0; m < WAY_MATERIAL_COUNT; ++m) {
    const WaySettings filter = with(WAY_HANDLING_FILTER, (WayMaterial)m);
    const WaySettings snap = with(WAY_HANDLING_SNAP, (WayMaterial)m);
    const WaySettings tag = with(WAY_HANDLING_TAG, (WayMaterial)m);
    for (uint8_t pitch = 0; pitch < 128; ++pitch) {
      const bool in = h.material[m] >> pitch % 12 & 1;
      assert_int_equal(way_handle_pitch(&tag, &h, pitch, 60), pitch);
      assert_int_equal(way_handle_pitch(&filter, &h, pitch, 60),
                       in ? pitch : WAY_UNHELD);
      const uint8_t to = way_handle_pitch(&snap, &h, pitch, 60);
      assert_true(h.material[m] >> to % 12 & 1);
      if (in) assert_int_equal(to, pitch);
    }
  }
}

static void test_silence_is_filtered_by_the_key(void** state) {
  (void)state;
  const WayHarmony silence = over("N.C.");
  const WaySettings s = with(WAY_HANDLING_FILTER, WAY_MATERIAL_TRIAD);
  assert_int_equal(way_handle_pitch(&s, &silence, 62, 60), 62);
  assert_int_equal(way_handle_pitch(&s, &silence, 61, 60), WAY_UNHELD);
}

static void test_tags_are_three_channels_in_a_row(void** state) {
  (void)state;
  assert_int_equal(way_handle_channel(0, WAY_ROLE_CHROMATIC, 9), 9);
  assert_int_equal(way_handle_channel(14, WAY_ROLE_CHORD, 9), 13);
  assert_int_equal(way_handle_channel(14, WAY_ROLE_SCALE, 9), 14);
  assert_int_equal(way_handle_channel(14, WAY_ROLE_CHROMATIC, 9), 15);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_material_by_its_definition),
      cmocka_unit_test(test_silence_is_filtered_by_the_key),
      cmocka_unit_test(test_tags_are_three_channels_in_a_row),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
