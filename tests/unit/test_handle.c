#include "check.h"
#include "live/handle.h"
#include "live/ledger.h"
#include "theory/chord_read.h"

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
    const WaySettings soften = with(WAY_HANDLING_SOFTEN, (WayMaterial)m); // to 40 %
    const WaySettings tag = with(WAY_HANDLING_TAG, (WayMaterial)m);
    for (uint8_t pitch = 0; pitch < 128; ++pitch) {
      const bool in = h.material[m] >> pitch % 12 & 1;
      uint8_t velocity = 80;
      assert_int_equal(way_handle_note(&tag, &h, pitch, 60, &velocity), pitch);
      assert_int_equal(way_handle_note(&filter, &h, pitch, 60, &velocity),
                       in ? pitch : WAY_UNHELD);
      const uint8_t to = way_handle_note(&snap, &h, pitch, 60, &velocity);
      assert_int_equal(velocity, 80);
      assert_int_equal(way_handle_note(&soften, &h, pitch, 60, &velocity), pitch);
      assert_int_equal(velocity, in ? 80 : 32);
      assert_true(h.material[m] >> to % 12 & 1);
      if (in) assert_int_equal(to, pitch);
    }
  }
}

static void test_what_is_farther_off_is_not_snapped(void** state) {
  (void)state;
  const WayHarmony h = over("C"); // C E G: F# is 1 from G, Ab 1 from G, A# 2 from C
  WaySettings s = with(WAY_HANDLING_SNAP, WAY_MATERIAL_TRIAD);
  uint8_t velocity = 80;
  s.max_distance = 1;
  assert_int_equal(way_handle_note(&s, &h, 66, 60, &velocity), 67);
  assert_int_equal(way_handle_note(&s, &h, 70, 60, &velocity), 70);
  s.max_distance = 2;
  assert_int_equal(way_handle_note(&s, &h, 70, 60, &velocity), 72);
}

static void test_softened_notes_still_sound(void** state) {
  (void)state;
  const WayHarmony h = over("C");
  WaySettings s = with(WAY_HANDLING_SOFTEN, WAY_MATERIAL_TRIAD);
  for (unsigned percent = 1; percent <= 100; ++percent)
    for (unsigned struck = 1; struck <= 127; ++struck) {
      uint8_t velocity = (uint8_t)struck;
      s.soften_to = (uint8_t)percent;
      way_handle_note(&s, &h, 61, 60, &velocity);
      assert_in_range(velocity, 1, struck);
    }
}

static void test_silence_is_filtered_by_the_key(void** state) {
  (void)state;
  const WayHarmony silence = over("N.C.");
  const WaySettings s = with(WAY_HANDLING_FILTER, WAY_MATERIAL_TRIAD);
  uint8_t velocity = 80;
  assert_int_equal(way_handle_note(&s, &silence, 62, 60, &velocity), 62);
  assert_int_equal(way_handle_note(&s, &silence, 61, 60, &velocity), WAY_UNHELD);
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
      cmocka_unit_test(test_what_is_farther_off_is_not_snapped),
      cmocka_unit_test(test_softened_notes_still_sound),
      cmocka_unit_test(test_silence_is_filtered_by_the_key),
      cmocka_unit_test(test_tags_are_three_channels_in_a_row),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
