#include "check.h"
#include "live/settings.h"

#include <math.h>

static void test_every_name_leads_back(void** state) {
  (void)state;
  for (unsigned i = 0; i < WAY_HANDLING_COUNT; ++i)
    assert_int_equal(way_handling_find(way_text(way_handling_name((WayHandling)i))), i);
  for (unsigned i = 0; i < WAY_SNAP_COUNT; ++i)
    assert_int_equal(way_snap_find(way_text(way_snap_name((WaySnap)i))), i);
  for (unsigned i = 0; i < WAY_HELD_COUNT; ++i)
    assert_int_equal(way_held_find(way_text(way_held_name((WayHeld)i))), i);
  for (unsigned i = 0; i < WAY_SOURCE_COUNT; ++i)
    assert_int_equal(way_source_find(way_text(way_source_name((WaySource)i))), i);
}

static void test_other_names_are_not_found(void** state) {
  (void)state;
  static const char* const others[] = {"", "Tag", "tag ", "keeps", "\xFF"};
  for (size_t i = 0; i < WAY_COUNT(others); ++i) {
    const WayText name = way_text(others[i]);
    assert_int_equal(way_handling_find(name), WAY_HANDLING_COUNT);
    assert_int_equal(way_snap_find(name), WAY_SNAP_COUNT);
    assert_int_equal(way_held_find(name), WAY_HELD_COUNT);
    assert_int_equal(way_source_find(name), WAY_SOURCE_COUNT);
  }
  assert_string_equal(way_handling_name(WAY_HANDLING_COUNT), "");
}

static void assert_same(const WaySettings* a, const WaySettings* b) {
  assert_int_equal(a->enabled, b->enabled);
  assert_int_equal(a->handling, b->handling);
  assert_int_equal(a->material, b->material);
  assert_int_equal(a->snap, b->snap);
  assert_int_equal(a->held, b->held);
  assert_int_equal(a->source, b->source);
  assert_true(fabs(a->early - b->early) < 1e-12);
  assert_int_equal(a->melody_channel, b->melody_channel);
  assert_int_equal(a->chord_channel, b->chord_channel);
  assert_int_equal(a->split_key, b->split_key);
  assert_int_equal(a->tag_channel, b->tag_channel);
  assert_int_equal(a->start_bar, b->start_bar);
}

static void test_defaults_are_in_range(void** state) {
  (void)state;
  const WaySettings s = way_settings_default(), clamped = way_settings_clamped(&s);
  assert_same(&s, &clamped);
}

static void test_clamping_brings_everything_into_range(void** state) {
  (void)state;
  WaySettings wild = way_settings_default();
  wild.handling = (WayHandling)77;
  wild.material = (WayMaterial)77;
  wild.early = 99;
  wild.melody_channel = 17;
  wild.chord_channel = 0;
  wild.split_key = 200;
  wild.tag_channel = 15;
  wild.start_bar = -3;
  const WaySettings s = way_settings_clamped(&wild);
  assert_int_equal(s.handling, WAY_HANDLING_COUNT - 1);
  assert_int_equal(s.material, WAY_MATERIAL_COUNT - 1);
  assert_true(s.early <= WAY_EARLY_MAX && s.early >= WAY_EARLY_MAX);
  assert_int_equal(s.melody_channel, 16);
  assert_int_equal(s.chord_channel, 1);
  assert_int_equal(s.split_key, 127);
  assert_int_equal(s.tag_channel, WAY_TAG_CHANNEL_MAX);
  assert_int_equal(s.start_bar, 1);
  wild.early = NAN;
  assert_true(fabs(way_settings_clamped(&wild).early) < 1e-12);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_name_leads_back),
      cmocka_unit_test(test_other_names_are_not_found),
      cmocka_unit_test(test_defaults_are_in_range),
      cmocka_unit_test(test_clamping_brings_everything_into_range),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
