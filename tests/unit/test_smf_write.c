#include "take/smf_write.h"

#include "alloc.h"
#include "check.h"
#include "rng.h"
#include "smf_file.h"

#include <stdlib.h>

// The table of variable-length quantities in RP-001.
static const struct {
  uint32_t value;
  const char* bytes;
} quantities[] = {
    {0x00, "\x00"},
    {0x40, "\x40"},
    {0x7F, "\x7F"},
    {0x80, "\x81\x00"},
    {0x2000, "\xC0\x00"},
    {0x3FFF, "\xFF\x7F"},
    {0x4000, "\x81\x80\x00"},
    {0x100000, "\xC0\x80\x00"},
    {0x1FFFFF, "\xFF\xFF\x7F"},
    {0x200000, "\x81\x80\x80\x00"},
    {0x8000000, "\xC0\x80\x80\x00"},
    {0xFFFFFFF, "\xFF\xFF\xFF\x7F"},
};

static void test_variable_length_quantities(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(quantities); ++i) {
    const char* const q = quantities[i].bytes;
    const size_t n = strlen(q) + (quantities[i].value % 128 == 0); // ends in a zero
    uint8_t body[16], file[64];
    memcpy(body, q, n);
    memcpy(body + n, "\x90\x3C\x40\x00\xFF\x2F\x00", 7);
    const size_t size = smf_wrap(file, body, n + 7);
    WaySmf* const smf = smf_read_ok(file, size);
    assert_int_equal(smf->tracks[0].events[0].tick, quantities[i].value);
    uint8_t* written = NULL;
    size_t n_written = 0;
    assert_int_equal(way_smf_write(smf, &written, &n_written), WAY_OK);
    assert_int_equal(n_written, size);
    assert_memory_equal(written, file, size);
    free(written);
    way_smf_free(smf);
  }
}

/// What can be read can be written, and reads back the same.
static void check_round_trip(const WaySmf* smf) {
  uint8_t* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_smf_write(smf, &bytes, &size), WAY_OK);
  WaySmf* const again = smf_read_ok(bytes, size);
  smf_check_equal(smf, again);
  way_smf_free(again);
  free(bytes);
}

// Property: whatever a file's bytes are changed to, it is refused with a place inside
// it and a reason, or read fully and written back the same.
static void test_mutated_files(void** state) {
  (void)state;
  static const struct {
    const uint8_t* bytes;
    size_t size;
  } files[] = {{smf_worked_0, sizeof(smf_worked_0)},
               {smf_worked_1, sizeof(smf_worked_1)}};
  unsigned n_read = 0, n_refused = 0;
  for (uint32_t seed = 1; seed <= 20000; ++seed) {
    uint32_t rng = seed;
    uint8_t file[sizeof(smf_worked_1)];
    const unsigned which = rng_below(&rng, WAY_COUNT(files));
    size_t size = files[which].size;
    memcpy(file, files[which].bytes, size);
    for (uint32_t n = 1 + rng_below(&rng, 4); n; --n) {
      const uint32_t at = rng_below(&rng, (uint32_t)size);
      file[at] = (uint8_t)rng_next(&rng);
    }
    if (!rng_below(&rng, 4)) size = rng_below(&rng, (uint32_t)size);
    WaySmf* smf = NULL;
    WayError e = {WAY_OK, 0, 0, 0, ""};
    if (way_smf_read(file, size, &smf, &e)) {
      ++n_refused;
      if (e.byte > size || !e.message[0]) fail_msg("seed %u: %s", seed, e.message);
    } else {
      ++n_read;
      check_round_trip(smf);
      way_smf_free(smf);
    }
  }
  assert_in_range(n_read, 100, 20000);
  assert_in_range(n_refused, 100, 20000);
}

static void test_events_are_written_in_order(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 480);
  assert_non_null(way_smf_add_track(smf));
  const uint8_t on[] = {0x90, 60, 100}, off[] = {0x80, 60, 0}, on2[] = {0x90, 62, 100};
  assert_int_equal(way_smf_add(smf, 0, 480, off, 3), WAY_OK);
  assert_int_equal(way_smf_add(smf, 0, 0, on, 3), WAY_OK);
  assert_int_equal(way_smf_add(smf, 0, 480, on2, 3), WAY_OK);
  assert_int_equal(way_smf_add_text(smf, 0, 0, 6, "top"), WAY_OK);
  assert_int_equal(way_smf_add(smf, 0, 960, (const uint8_t[]){0xFF, 0x2F}, 2), WAY_OK);
  uint8_t* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_smf_write(smf, &bytes, &size), WAY_OK);
  WaySmf* const again = smf_read_ok(bytes, size);
  const WaySmfTrack* const t = &again->tracks[0];
  assert_int_equal(t->n, 4);
  CHECK_EVENT(t->events[0], 0, "\x90\x3C\x64");
  CHECK_EVENT(t->events[1], 0, "\xFF\x06top");
  CHECK_EVENT(t->events[2], 480, "\x80\x3C\x00"); // as added: before the note-on
  CHECK_EVENT(t->events[3], 480, "\x90\x3E\x64");
  assert_int_equal(t->end, 960);
  assert_int_equal(way_smf_sort(smf), WAY_OK);
  smf_check_equal(smf, again);
  way_smf_free(again);
  way_smf_free(smf);
  free(bytes);
}

static void test_long_pauses_are_bridged(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(0, 96);
  assert_non_null(way_smf_add_track(smf));
  const uint64_t far = (uint64_t)5 << 28;
  assert_int_equal(way_smf_add(smf, 0, far, (const uint8_t[]){0xC0, 1}, 2), WAY_OK);
  uint8_t* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_smf_write(smf, &bytes, &size), WAY_OK);
  WaySmf* const again = smf_read_ok(bytes, size);
  const WaySmfTrack* const t = &again->tracks[0];
  CHECK_EVENT(t->events[0], 0xFFFFFFF, "\xFF\x01");
  CHECK_EVENT(t->events[t->n - 1], far, "\xC0\x01");
  way_smf_free(again);
  way_smf_free(smf);
  free(bytes);
}

static void test_out_of_memory_writes_nothing(void** state) {
  (void)state;
  WaySmf* const smf = smf_read_ok(smf_worked_1, sizeof(smf_worked_1));
  assert_int_equal(way_smf_add(smf, 1, 0, (const uint8_t[]){0xC0, 1}, 2), WAY_OK);
  assert_false(way_smf_is_sorted(&smf->tracks[1])); // so that a copy is needed, too
  for (long n = 1;; ++n) {
    uint8_t* bytes = NULL;
    size_t size = 0;
    alloc_fail_at(n);
    const WayStatus st = way_smf_write(smf, &bytes, &size);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    if (!failed) assert_int_equal(st, WAY_OK);
    free(bytes);
    if (!failed) break;
    assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_null(bytes);
    assert_in_range(n, 1, 100);
  }
  way_smf_free(smf);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_variable_length_quantities),
      cmocka_unit_test(test_mutated_files),
      cmocka_unit_test(test_events_are_written_in_order),
      cmocka_unit_test(test_long_pauses_are_bridged),
      cmocka_unit_test(test_out_of_memory_writes_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
