#include "check.h"
#include "live/settings.h"

#include <math.h>

static void test_every_choice_has_a_name_of_its_own(void** state) {
  (void)state;
  for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i) {
    const WaySettingRow* const row = &way_setting_rows[i];
    if (!row->name) continue;
    const unsigned n = (unsigned)row->most + 1;
    for (unsigned a = 0; a < n; ++a) {
      assert_true(row->name(a)[0] != 0);
      for (unsigned b = 0; b < a; ++b)
        assert_string_not_equal(row->name(a), row->name(b));
    }
    assert_string_equal(row->name(n), "");
  }
}

static void assert_same(const WaySettings* a, const WaySettings* b) {
  for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i)
    assert_true(fabs(way_settings_get(a, (WaySetting)i) -
                     way_settings_get(b, (WaySetting)i)) < 1e-12);
}

static void test_each_setting_keeps_what_it_is_given(void** state) {
  (void)state;
  for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i) {
    const WaySettingRow* const row = &way_setting_rows[i];
    for (unsigned k = 0; k < i; ++k)
      assert_string_not_equal(row->symbol, way_setting_rows[k].symbol);
    WaySettings s = way_settings_default(), others = s;
    const double values[] = {row->most, row->least,     row->standard,
                             row->most, row->most + 99, row->least - 99};
    for (size_t k = 0; k < WAY_COUNT(values); ++k) {
      const double want = fmin(fmax(values[k], row->least), row->most);
      way_settings_put(&s, (WaySetting)i, values[k]);
      assert_true(fabs(way_settings_get(&s, (WaySetting)i) - want) < 1e-12);
    }
    way_settings_put(&s, (WaySetting)i, NAN); // and no other setting has moved
    assert_same(&s, &others);
  }
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
      cmocka_unit_test(test_every_choice_has_a_name_of_its_own),
      cmocka_unit_test(test_each_setting_keeps_what_it_is_given),
      cmocka_unit_test(test_defaults_are_in_range),
      cmocka_unit_test(test_clamping_brings_everything_into_range),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
