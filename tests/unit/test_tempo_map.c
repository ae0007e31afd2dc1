#include "take/tempo_map.h"

#include "alloc.h"
#include "check.h"

// 120 quarter notes a minute unless said otherwise: RP-001.
static void test_tempo_map(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 480);
  assert_non_null(way_smf_add_track(smf));
  assert_non_null(way_smf_add_track(smf));
  const uint8_t slow[] = {0xFF, 0x51, 0x0F, 0x42, 0x40}; // one second a quarter
  const uint8_t zero[] = {0xFF, 0x51, 0, 0, 0}, half[] = {0xFF, 0x51, 0x07, 0xA1, 0x20};
  const uint8_t odd[] = {0xFF, 0x51, 1};
  assert_int_equal(way_smf_add(smf, 1, 960, slow, 5), WAY_OK);
  assert_int_equal(way_smf_add(smf, 0, 1200, zero, 5), WAY_OK);
  assert_int_equal(way_smf_add(smf, 0, 1300, odd, 3), WAY_OK);
  assert_int_equal(way_smf_add(smf, 0, 1440, half, 5), WAY_OK);
  WayTempoMap* const map = way_tempo_map_new(smf);
  assert_int_equal(way_tempo_map_at(map, 0), 500000);
  assert_int_equal(way_tempo_map_at(map, 959), 500000);
  assert_int_equal(way_tempo_map_at(map, 960), 1000000);
  assert_int_equal(way_tempo_map_at(map, 1439), 1000000);
  assert_int_equal(way_tempo_map_at(map, UINT64_MAX / 2), 500000);
  assert_float_equal(way_tempo_map_seconds(map, 960), 1.0, 1e-9);
  assert_float_equal(way_tempo_map_seconds(map, 1440), 2.0, 1e-9);
  assert_float_equal(way_tempo_map_seconds(map, 1920), 2.5, 1e-9);
  way_tempo_map_free(map);
  way_smf_free(smf);
}

static void test_out_of_memory_gives_no_map(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 480);
  assert_non_null(way_smf_add_track(smf));
  assert_int_equal(way_smf_add_tempo(smf, 0, 0, 90), WAY_OK);
  for (long n = 1;; ++n) {
    alloc_fail_at(n);
    WayTempoMap* const map = way_tempo_map_new(smf);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(map == NULL, failed);
    way_tempo_map_free(map);
    if (!failed) break;
    assert_in_range(n, 1, 100);
  }
  way_smf_free(smf);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_tempo_map),
      cmocka_unit_test(test_out_of_memory_gives_no_map),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
