#include "check.h"
#include "take/bars.h"

enum { DIVISION = 96, QUARTER = WAY_TICKS_PER_QUARTER };
static const WayMetre four = {4, 4};

static WaySmf* file(void) {
  WaySmf* const smf = way_smf_new(1, DIVISION);
  assert_non_null(smf);
  assert_non_null(way_smf_add_track(smf));
  return smf;
}

static void sign(WaySmf* smf, uint64_t tick, uint8_t beats, uint8_t power) {
  const uint8_t bytes[] = {0xFF, 0x58, beats, power, 24, 8};
  assert_int_equal(way_smf_add(smf, 0, tick, bytes, sizeof(bytes)), WAY_OK);
}

static WayTick start(const WaySmf* smf, uint32_t bar, WayMetre metre) {
  WayTick tick = -1;
  assert_int_equal(way_bars_start(smf, bar, metre, &tick), WAY_OK);
  return tick;
}

static void test_without_signatures_the_given_metre_counts(void** state) {
  (void)state;
  WaySmf* const smf = file();
  assert_int_equal(start(smf, 1, four), 0);
  assert_int_equal(start(smf, 5, four), 16 * QUARTER);
  assert_int_equal(start(smf, 3, (WayMetre){6, 8}), 6 * QUARTER);
  way_smf_free(smf);
}

static void test_signatures_change_the_length_of_bars(void** state) {
  (void)state;
  WaySmf* const smf = file();
  sign(smf, 0, 3, 2);                      // bars 1 and 2 of three quarters
  sign(smf, (uint64_t)6 * DIVISION, 7, 3); // from bar 3: seven eighths
  assert_int_equal(start(smf, 1, four), 0);
  assert_int_equal(start(smf, 2, four), 3 * QUARTER);
  assert_int_equal(start(smf, 3, four), 6 * QUARTER);
  assert_int_equal(start(smf, 5, four), 13 * QUARTER);
  way_smf_free(smf);
}

static void test_a_signature_begins_a_bar_where_it_stands(void** state) {
  (void)state;
  WaySmf* const smf = file();
  sign(smf, (uint64_t)5 * DIVISION, 3, 2); // bar 2 lasts one quarter
  assert_int_equal(start(smf, 2, four), 4 * QUARTER);
  assert_int_equal(start(smf, 3, four), 5 * QUARTER);
  assert_int_equal(start(smf, 4, four), 8 * QUARTER);
  way_smf_free(smf);
}

static void test_senseless_signatures_are_passed_over(void** state) {
  (void)state;
  WaySmf* const smf = file();
  sign(smf, 0, 0, 2);
  sign(smf, DIVISION, 4, 200);
  assert_int_equal(start(smf, 3, four), 8 * QUARTER);
  way_smf_free(smf);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_without_signatures_the_given_metre_counts),
      cmocka_unit_test(test_signatures_change_the_length_of_bars),
      cmocka_unit_test(test_a_signature_begins_a_bar_where_it_stands),
      cmocka_unit_test(test_senseless_signatures_are_passed_over),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
