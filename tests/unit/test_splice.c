#include "take/smf_read.h"
#include "take/smf_write.h"
#include "take/splice.h"

#include "alloc.h"
#include "check.h"

#include <stdlib.h>

/// A file of `n` tracks, track t with a program change to `from + t`.
static WaySmf* file_of(uint16_t format, uint32_t n, int from) {
  WaySmf* const smf = way_smf_new(format, 96);
  assert_non_null(smf);
  for (uint32_t t = 0; t < n; ++t) {
    assert_non_null(way_smf_add_track(smf));
    const uint8_t program[] = {0xC0, (uint8_t)((uint32_t)from + t)};
    assert_int_equal(way_smf_add(smf, t, 0, program, 2), WAY_OK);
  }
  return smf;
}

/// The programs of the tracks after splicing `n_made` tracks into a file of `n`.
static void check_programs(uint16_t format, uint32_t n, uint32_t replaced,
                           uint32_t n_made, uint16_t new_format, const char* programs) {
  WaySmf* const plain = file_of(format, n, 'a');
  WaySmf* const made = file_of(1, n_made, 'x');
  uint8_t *bytes = NULL, *out = NULL;
  size_t size = 0, out_size = 0;
  assert_int_equal(way_smf_write(plain, &bytes, &size), WAY_OK);
  WaySmf *read = NULL, *again = NULL;
  assert_int_equal(way_smf_read(bytes, size, &read, NULL), WAY_OK);
  assert_int_equal(way_splice(bytes, read, replaced, made, &out, &out_size), WAY_OK);
  assert_int_equal(way_smf_read(out, out_size, &again, NULL), WAY_OK);
  assert_int_equal(again->format, new_format);
  assert_int_equal(again->n_tracks, strlen(programs));
  for (uint32_t t = 0; t < again->n_tracks; ++t)
    assert_int_equal(again->tracks[t].events[0].bytes[1], programs[t]);
  way_smf_free(plain);
  way_smf_free(made);
  way_smf_free(read);
  way_smf_free(again);
  free(bytes);
  free(out);
}

static void test_tracks_stand_in_place_or_behind(void** state) {
  (void)state;
  check_programs(0, 1, WAY_NO_TRACK, 1, 1, "ax");
  check_programs(1, 3, WAY_NO_TRACK, 2, 1, "abcxy");
  check_programs(1, 3, 1, 2, 1, "axcy");
  check_programs(1, 3, 0, 1, 1, "xbc");
  check_programs(2, 2, 1, 1, 2, "ax");
}

static void test_what_is_kept_keeps_its_bytes(void** state) {
  (void)state;
  // Running status and a padded delta time, which a rewriter would lose.
  static const uint8_t bytes[] = {'M',  'T',  'h',  'd',  0,    0,    0,    6,    0,
                                  0,    0,    1,    0,    96,   'M',  'T',  'r',  'k',
                                  0,    0,    0,    13,   0,    0x90, 0x3C, 0x40, 0x80,
                                  0x10, 0x3C, 0x00, 0x81, 0x00, 0xFF, 0x2F, 0};
  WaySmf* smf = NULL;
  assert_int_equal(way_smf_read(bytes, sizeof(bytes), &smf, NULL), WAY_OK);
  WaySmf* const made = file_of(1, 1, 'x');
  uint8_t* out = NULL;
  size_t size = 0;
  assert_int_equal(way_splice(bytes, smf, WAY_NO_TRACK, made, &out, &size), WAY_OK);
  assert_memory_equal(out + 14, bytes + 14, sizeof(bytes) - 14);
  free(out);
  way_smf_free(made);
  way_smf_free(smf);
}

static void test_no_memory(void** state) {
  (void)state;
  WaySmf* const plain = file_of(0, 1, 'a');
  uint8_t* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_smf_write(plain, &bytes, &size), WAY_OK);
  WaySmf* smf = NULL;
  assert_int_equal(way_smf_read(bytes, size, &smf, NULL), WAY_OK);
  for (long n = 1; n <= 2; ++n) {
    uint8_t* out = NULL;
    alloc_fail_at(n);
    assert_int_equal(way_splice(bytes, smf, WAY_NO_TRACK, plain, &out, &size),
                     WAY_ERR_NO_MEMORY);
    alloc_fail_at(0);
    assert_null(out);
  }
  free(bytes);
  way_smf_free(smf);
  way_smf_free(plain);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_tracks_stand_in_place_or_behind),
      cmocka_unit_test(test_what_is_kept_keeps_its_bytes),
      cmocka_unit_test(test_no_memory),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
