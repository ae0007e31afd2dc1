#include "take/smf_read.h"

#include "alloc.h"
#include "check.h"
#include "smf_file.h"

#include <stdlib.h>

static void test_worked_file_of_format_0(void** state) {
  (void)state;
  WaySmf* const smf = smf_read_ok(smf_worked_0, sizeof(smf_worked_0));
  assert_int_equal(smf->format, 0);
  assert_int_equal(smf->division, 96);
  assert_int_equal(smf->n_tracks, 1);
  const WaySmfTrack* const t = &smf->tracks[0];
  assert_int_equal(t->n, 13);
  assert_int_equal(t->end, 384);
  CHECK_EVENT(t->events[0], 0, "\xFF\x58\x04\x02\x18\x08");
  CHECK_EVENT(t->events[1], 0, "\xFF\x51\x07\xA1\x20");
  CHECK_EVENT(t->events[5], 0, "\x92\x30\x60");
  CHECK_EVENT(t->events[6], 0, "\x92\x3C\x60"); // running status
  CHECK_EVENT(t->events[7], 96, "\x91\x43\x40");
  CHECK_EVENT(t->events[12], 384, "\x80\x4C\x40");
  assert_int_equal(t->events[6].offset, 0x33);
  way_smf_free(smf);
}

static void test_worked_file_of_format_1(void** state) {
  (void)state;
  WaySmf* const smf = smf_read_ok(smf_worked_1, sizeof(smf_worked_1));
  assert_int_equal(smf->format, 1);
  assert_int_equal(smf->n_tracks, 4);
  assert_int_equal(smf->tracks[0].end, 384);
  CHECK_EVENT(smf->tracks[2].events[1], 96, "\x91\x43\x40");
  CHECK_EVENT(smf->tracks[2].events[2], 384, "\x91\x43\x00");
  way_smf_free(smf);
}

static WaySmf* read_body(const void* body, size_t n) {
  uint8_t file[256];
  return smf_read_ok(file, smf_wrap(file, body, n));
}
#define READ_BODY(body) read_body(body, sizeof(body) - 1)

static void test_sysex_and_its_continuation(void** state) {
  (void)state;
  WaySmf* const smf = READ_BODY("\x00\xF0\x03\x43\x12\x00"
                                "\x10\xF7\x04\x01\x02\x03\xF7"
                                "\x00\xF7\x01\xF8"
                                "\x00\xFF\x2F\x00");
  const WaySmfTrack* const t = &smf->tracks[0];
  assert_int_equal(t->n, 3);
  CHECK_EVENT(t->events[0], 0, "\xF0\x43\x12\x00");
  CHECK_EVENT(t->events[1], 16, "\xF7\x01\x02\x03\xF7");
  CHECK_EVENT(t->events[2], 16, "\xF7\xF8");
  way_smf_free(smf);
}

static void test_single_system_messages_take_the_standard_form(void** state) {
  (void)state;
  WaySmf* const smf = READ_BODY("\x00\x90\x3C\x40\x01\xF8\x01\x3E\x40\x01\xF2\x01\x02");
  const WaySmfTrack* const t = &smf->tracks[0];
  assert_int_equal(t->n, 4);
  CHECK_EVENT(t->events[1], 1, "\xF7\xF8");
  CHECK_EVENT(t->events[2], 2, "\x90\x3E\x40"); // running status goes on
  CHECK_EVENT(t->events[3], 3, "\xF7\xF2\x01\x02");
  assert_int_equal(t->end, 3); // no end-of-track event: the last event ends it
  way_smf_free(smf);
}

static void test_unknown_chunks_and_padding_are_passed_over(void** state) {
  (void)state;
  WaySmf* const smf = smf_read_ok((const uint8_t*)"MThd\0\0\0\x08\0\1\0\1\0\x60XX"
                                                  "Xyzw\0\0\0\3abc"
                                                  "MTrk\0\0\0\4\5\xFF\x2F\0"
                                                  "\0\0\0\0\0\0\0\0\xFF\xFF\xFF\xFF",
                                  18 + 9 + 12 + 12);
  assert_int_equal(smf->n_tracks, 1);
  assert_int_equal(smf->tracks[0].end, 5);
  way_smf_free(smf);
}

static void check_refused(const void* bytes, size_t size, WayStatus status, size_t byte,
                          const char* part) {
  WaySmf* smf = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  assert_int_equal(way_smf_read(bytes, size, &smf, &e), status);
  assert_null(smf);
  assert_int_equal(e.status, status);
  if (!strstr(e.message, part)) fail_msg("\"%s\" lacks \"%s\"", e.message, part);
  assert_int_equal(e.byte, byte);
}
#define REFUSED(bytes, status, byte, part)                                             \
  check_refused(bytes, sizeof(bytes) - 1, status, byte, part)

static void test_bad_headers_are_refused(void** state) {
  (void)state;
  REFUSED("", WAY_ERR_FORMAT, 0, "empty");
  REFUSED("RIFF....", WAY_ERR_FORMAT, 0, "MThd");
  REFUSED("MT", WAY_ERR_FORMAT, 2, "inside its header");
  REFUSED("MThd\0\0\0\6\0\1\0\1\0", WAY_ERR_FORMAT, 13, "inside its header");
  REFUSED("MThd\0\0\0\5\0\1\0\1\0\x60", WAY_ERR_FORMAT, 4, "length");
  REFUSED("MThd\xFF\0\0\6\0\1\0\1\0\x60", WAY_ERR_FORMAT, 4, "length");
  REFUSED("MThd\0\0\0\6\0\3\0\0\0\x60", WAY_ERR_UNSUPPORTED, 8, "format");
  REFUSED("MThd\0\0\0\6\0\1\0\0\xE7\x28", WAY_ERR_UNSUPPORTED, 12, "SMPTE");
  REFUSED("MThd\0\0\0\6\0\1\0\0\0\0", WAY_ERR_FORMAT, 12, "zero ticks");
  REFUSED("MThd\0\0\0\6\0\1\0\2\0\x60MTrk\0\0\0\4\0\xFF\x2F\0", WAY_ERR_FORMAT, 26,
          "1 of the 2 tracks");
  REFUSED("MThd\0\0\0\6\0\1\0\1\0\x60MTrk\0\0\0\5\0\xFF\x2F\0", WAY_ERR_FORMAT, 14,
          "5 bytes, but only 4");
  REFUSED("MTrk\0\0\0\4\0\xFF\x2F\0MThd\0\0\0\6\0\1\0\1\0\x60", WAY_ERR_FORMAT, 0,
          "MThd");
}

static void check_body_refused(const void* body, size_t n, WayStatus status,
                               size_t byte, const char* part) {
  uint8_t file[256];
  check_refused(file, smf_wrap(file, body, n), status, 22 + byte, part);
}
#define BODY_REFUSED(body, byte, part)                                                 \
  check_body_refused(body, sizeof(body) - 1, WAY_ERR_FORMAT, byte, part)

static void test_bad_tracks_are_refused(void** state) {
  (void)state;
  BODY_REFUSED("\x00\x3C\x40", 1, "without a status");
  BODY_REFUSED("\x81", 1, "inside a delta time");
  BODY_REFUSED("\x00\x90\x3C\x40\x81\x80\x80\x80\x00\x3C\x40", 4, "four bytes");
  BODY_REFUSED("\x00\x90\x3C", 1, "2 more bytes, but only 1");
  BODY_REFUSED("\x00\x90\x3C\x90", 3, "data was expected");
  BODY_REFUSED("\x00", 1, "before an event");
  BODY_REFUSED("\x00\xF4", 1, "does not exist");
  BODY_REFUSED("\x00\xFF", 2, "inside a meta event");
  BODY_REFUSED("\x00\xFF\x80\x00", 2, "type");
  BODY_REFUSED("\x00\xFF\x01\x05hi", 1, "5 more bytes, but only 2");
  BODY_REFUSED("\x00\xF0\x7F\x01", 1, "127 more bytes, but only 1");
  BODY_REFUSED("\x00\xFF\x2F\x00\x00\x90\x3C\x40", 4, "after its end");
}

static void test_places_too_far_are_refused(void** state) {
  (void)state;
  enum { EVENTS = (1 << 20) + 2 }; // each as late as one delta time can say
  uint8_t* const body = malloc(EVENTS * 6 + 22);
  for (size_t i = 0; i < EVENTS; ++i)
    memcpy(body + 22 + 6 * i, "\xFF\xFF\xFF\x7F\xC0\x01", 6);
  const size_t size = smf_wrap(body, body + 22, EVENTS * 6);
  WaySmf* smf = NULL;
  WayError e;
  assert_int_equal(way_smf_read(body, size, &smf, &e), WAY_ERR_UNSUPPORTED);
  assert_int_equal(e.byte, 22 + 6 * ((1u << 20)));
  free(body);
}

static void test_out_of_memory_leaves_no_file(void** state) {
  (void)state;
  for (long n = 1;; ++n) {
    WaySmf* smf = NULL;
    WayError e;
    alloc_fail_at(n);
    const WayStatus st = way_smf_read(smf_worked_1, sizeof(smf_worked_1), &smf, &e);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    if (!failed) assert_int_equal(st, WAY_OK);
    way_smf_free(smf);
    if (!failed) break;
    assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_int_equal(e.status, WAY_ERR_NO_MEMORY);
    assert_null(smf);
    assert_in_range(n, 1, 100);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_worked_file_of_format_0),
      cmocka_unit_test(test_worked_file_of_format_1),
      cmocka_unit_test(test_sysex_and_its_continuation),
      cmocka_unit_test(test_single_system_messages_take_the_standard_form),
      cmocka_unit_test(test_unknown_chunks_and_padding_are_passed_over),
      cmocka_unit_test(test_bad_headers_are_refused),
      cmocka_unit_test(test_bad_tracks_are_refused),
      cmocka_unit_test(test_places_too_far_are_refused),
      cmocka_unit_test(test_out_of_memory_leaves_no_file),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
