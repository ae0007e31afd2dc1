#include "take/smf.h"

#include "alloc.h"
#include "check.h"
#include "rng.h"

// Property: any order of adding gives what a plain insertion sort gives.
static void test_sorting_is_stable(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 200; ++seed) {
    uint32_t rng = seed;
    WaySmf* const smf = way_smf_new(0, 96);
    assert_non_null(way_smf_add_track(smf));
    const uint32_t n = rng_below(&rng, 100);
    uint32_t ticks[100], order[100];
    for (uint32_t i = 0; i < n; ++i) {
      ticks[i] = rng_below(&rng, 20);
      const uint8_t event[] = {0x90, (uint8_t)i, 1};
      assert_int_equal(way_smf_add(smf, 0, ticks[i], event, 3), WAY_OK);
      uint32_t at = i;
      for (; at && ticks[order[at - 1]] > ticks[i]; --at) order[at] = order[at - 1];
      order[at] = i;
    }
    assert_int_equal(way_smf_sort(smf), WAY_OK);
    for (uint32_t i = 0; i < n; ++i)
      if (smf->tracks[0].events[i].bytes[1] != order[i])
        fail_msg("seed %u: event %u", seed, i);
    way_smf_free(smf);
  }
}

static void test_only_well_formed_events_are_added(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 480);
  assert_non_null(way_smf_add_track(smf));
  static const struct {
    uint32_t size;
    uint8_t bytes[4];
  } bad[] = {{0, {0}},          {1, {0x90}},       {3, {0x90, 60, 0x80}},
             {4, {0x90, 1, 1}}, {3, {60, 1, 1}},   {1, {0xFF}},
             {2, {0xFF, 0x80}}, {1, {0xF8}},       {3, {0xC0, 1, 1}},
             {3, {0xF4, 1, 1}}, {2, {0x80, 0x40}}, {1, {0x7F}}};
  for (size_t i = 0; i < WAY_COUNT(bad); ++i)
    assert_int_equal(way_smf_add(smf, 0, 0, bad[i].bytes, bad[i].size), WAY_ERR_RANGE);
  const uint8_t on[] = {0x90, 60, 100};
  assert_int_equal(way_smf_add(smf, 1, 0, on, 3), WAY_ERR_RANGE);
  assert_int_equal(way_smf_add(smf, 0, WAY_SMF_TICK_MAX + 1, on, 3), WAY_ERR_RANGE);
  assert_int_equal(smf->tracks[0].n, 0);
  way_smf_free(smf);
}

static void test_track_names(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 96);
  assert_non_null(way_smf_add_track(smf));
  assert_int_equal(way_smf_add_text(smf, 0, 0, 1, "x"), WAY_OK);
  assert_int_equal(way_smf_track_name(&smf->tracks[0]).size, 0);
  assert_int_equal(way_smf_add_text(smf, 0, 0, 3, "Gulls"), WAY_OK);
  assert_int_equal(way_smf_add_text(smf, 0, 0, 3, "Terns"), WAY_OK);
  assert_true(way_text_is(way_smf_track_name(&smf->tracks[0]), "Gulls"));
  way_smf_free(smf);
}

/// The texts of a file's markers, one after the other.
static void check_markers(const WaySmf* smf, const char* expected) {
  WaySmf* const metas = way_smf_metas(smf, 6);
  char text[16];
  WayOut out = way_out(text, sizeof(text));
  for (uint32_t i = 0; i < metas->tracks[0].n; ++i)
    way_out_text(&out, way_smf_meta_data(&metas->tracks[0].events[i]));
  assert_string_equal(text, expected);
  way_smf_free(metas);
}

static void test_metas_come_in_order(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 96);
  assert_non_null(way_smf_add_track(smf));
  assert_non_null(way_smf_add_track(smf));
  assert_int_equal(way_smf_add_text(smf, 0, 96, 6, "c"), WAY_OK);
  assert_int_equal(way_smf_add_text(smf, 0, 0, 6, "a"), WAY_OK);
  assert_int_equal(way_smf_add_text(smf, 0, 0, 1, "x"), WAY_OK);
  assert_int_equal(way_smf_add_text(smf, 1, 48, 6, "b"), WAY_OK);
  check_markers(smf, "abc");
  smf->format = 2; // each track goes by its own time: the first alone counts
  check_markers(smf, "ac");
  for (long n = 1; n <= 4; ++n) {
    alloc_fail_at(n);
    assert_null(way_smf_metas(smf, 6));
    alloc_fail_at(0);
  }
  way_smf_free(smf);
}

static void test_ticks_of_music(void** state) {
  (void)state;
  WaySmf smf = {.division = 96};
  assert_int_equal(way_smf_music_tick(&smf, 96), WAY_TICKS_PER_QUARTER);
  assert_int_equal(way_smf_file_tick(&smf, WAY_TICKS_PER_QUARTER / 2), 48);
  smf.division = 1024; // does not divide a quarter: to the nearest
  assert_int_equal(way_smf_music_tick(&smf, 3), 11);
  smf.division = 1;
  assert_int_equal(way_smf_music_tick(&smf, WAY_SMF_TICK_MAX),
                   (int64_t)WAY_TICKS_PER_QUARTER << 48);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_sorting_is_stable),
      cmocka_unit_test(test_only_well_formed_events_are_added),
      cmocka_unit_test(test_track_names),
      cmocka_unit_test(test_metas_come_in_order),
      cmocka_unit_test(test_ticks_of_music),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
