#include "alloc.h"
#include "check.h"
#include "rng.h"
#include "take/smf.h"

#include <stdlib.h>

// The two example files of the Standard MIDI Files 1.0 specification (RP-001): the same
// four bars of piano, harp and bassoon as one track and as four.
static const uint8_t worked_format0[] = {
    0x4D, 0x54, 0x68, 0x64, 0x00, 0x00, 0x00, 0x06, 0x00, 0x00, 0x00, 0x01, 0x00, 0x60,
    0x4D, 0x54, 0x72, 0x6B, 0x00, 0x00, 0x00, 0x3B, 0x00, 0xFF, 0x58, 0x04, 0x04, 0x02,
    0x18, 0x08, 0x00, 0xFF, 0x51, 0x03, 0x07, 0xA1, 0x20, 0x00, 0xC0, 0x05, 0x00, 0xC1,
    0x2E, 0x00, 0xC2, 0x46, 0x00, 0x92, 0x30, 0x60, 0x00, 0x3C, 0x60, 0x60, 0x91, 0x43,
    0x40, 0x60, 0x90, 0x4C, 0x20, 0x81, 0x40, 0x82, 0x30, 0x40, 0x00, 0x3C, 0x40, 0x00,
    0x81, 0x43, 0x40, 0x00, 0x80, 0x4C, 0x40, 0x00, 0xFF, 0x2F, 0x00};
static const uint8_t worked_format1[] = {
    0x4D, 0x54, 0x68, 0x64, 0x00, 0x00, 0x00, 0x06, 0x00, 0x01, 0x00, 0x04, 0x00, 0x60,
    0x4D, 0x54, 0x72, 0x6B, 0x00, 0x00, 0x00, 0x14, 0x00, 0xFF, 0x58, 0x04, 0x04, 0x02,
    0x18, 0x08, 0x00, 0xFF, 0x51, 0x03, 0x07, 0xA1, 0x20, 0x83, 0x00, 0xFF, 0x2F, 0x00,
    0x4D, 0x54, 0x72, 0x6B, 0x00, 0x00, 0x00, 0x10, 0x00, 0xC0, 0x05, 0x81, 0x40, 0x90,
    0x4C, 0x20, 0x81, 0x40, 0x4C, 0x00, 0x00, 0xFF, 0x2F, 0x00, 0x4D, 0x54, 0x72, 0x6B,
    0x00, 0x00, 0x00, 0x0F, 0x00, 0xC1, 0x2E, 0x60, 0x91, 0x43, 0x40, 0x82, 0x20, 0x43,
    0x00, 0x00, 0xFF, 0x2F, 0x00, 0x4D, 0x54, 0x72, 0x6B, 0x00, 0x00, 0x00, 0x15, 0x00,
    0xC2, 0x46, 0x00, 0x92, 0x30, 0x60, 0x00, 0x3C, 0x60, 0x83, 0x00, 0x30, 0x00, 0x00,
    0x3C, 0x00, 0x00, 0xFF, 0x2F, 0x00};

static WaySmf* read_ok(const uint8_t* bytes, size_t size) {
  WaySmf* smf = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  if (way_smf_read(bytes, size, &smf, &e)) fail_msg("byte %zu: %s", e.byte, e.message);
  return smf;
}

static void check_event(const WaySmfEvent* e, uint64_t tick, const char* bytes,
                        size_t size) {
  assert_int_equal(e->tick, tick);
  assert_int_equal(e->size, size);
  assert_memory_equal(e->bytes, bytes, size);
}
#define CHECK_EVENT(event, tick, bytes)                                                \
  check_event(&(event), tick, bytes, sizeof(bytes) - 1)

static void test_worked_file_of_format_0(void** state) {
  (void)state;
  WaySmf* const smf = read_ok(worked_format0, sizeof(worked_format0));
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
  WaySmf* const smf = read_ok(worked_format1, sizeof(worked_format1));
  assert_int_equal(smf->format, 1);
  assert_int_equal(smf->n_tracks, 4);
  assert_int_equal(smf->tracks[0].end, 384);
  CHECK_EVENT(smf->tracks[2].events[1], 96, "\x91\x43\x40");
  CHECK_EVENT(smf->tracks[2].events[2], 384, "\x91\x43\x00");
  way_smf_free(smf);
}

/// A file of one track that holds `body`.  Returns its size.
static size_t wrap(uint8_t* file, const void* body, size_t n) {
  memcpy(file, "MThd\0\0\0\6\0\0\0\1\0\x60MTrk", 18);
  for (int i = 0; i < 4; ++i) file[18 + i] = (uint8_t)(n >> 8 * (3 - i));
  memmove(file + 22, body, n);
  return 22 + n;
}

static WaySmf* read_body(const void* body, size_t n) {
  uint8_t file[256];
  return read_ok(file, wrap(file, body, n));
}
#define READ_BODY(body) read_body(body, sizeof(body) - 1)

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
    const size_t size = wrap(file, body, n + 7);
    WaySmf* const smf = read_ok(file, size);
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
  WaySmf* const smf = read_ok((const uint8_t*)"MThd\0\0\0\x08\0\1\0\1\0\x60XX"
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
  check_refused(file, wrap(file, body, n), status, 22 + byte, part);
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
  const size_t size = wrap(body, body + 22, EVENTS * 6);
  WaySmf* smf = NULL;
  WayError e;
  assert_int_equal(way_smf_read(body, size, &smf, &e), WAY_ERR_UNSUPPORTED);
  assert_int_equal(e.byte, 22 + 6 * ((1u << 20)));
  free(body);
}

/// Both hold the same events in the same order.
static void check_equal(const WaySmf* a, const WaySmf* b) {
  assert_int_equal(a->format, b->format);
  assert_int_equal(a->division, b->division);
  assert_int_equal(a->n_tracks, b->n_tracks);
  for (uint32_t t = 0; t < a->n_tracks; ++t) {
    assert_int_equal(a->tracks[t].n, b->tracks[t].n);
    assert_int_equal(a->tracks[t].end, b->tracks[t].end);
    for (uint32_t i = 0; i < a->tracks[t].n; ++i) {
      const WaySmfEvent* const e = &b->tracks[t].events[i];
      check_event(&a->tracks[t].events[i], e->tick, (const char*)e->bytes, e->size);
    }
  }
}

/// What can be read can be written, and reads back the same.
static void check_round_trip(const WaySmf* smf) {
  uint8_t* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_smf_write(smf, &bytes, &size), WAY_OK);
  WaySmf* const again = read_ok(bytes, size);
  check_equal(smf, again);
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
  } files[] = {{worked_format0, sizeof(worked_format0)},
               {worked_format1, sizeof(worked_format1)}};
  unsigned n_read = 0, n_refused = 0;
  for (uint32_t seed = 1; seed <= 20000; ++seed) {
    uint32_t rng = seed;
    uint8_t file[sizeof(worked_format1)];
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
  WaySmf* const again = read_ok(bytes, size);
  const WaySmfTrack* const t = &again->tracks[0];
  assert_int_equal(t->n, 4);
  CHECK_EVENT(t->events[0], 0, "\x90\x3C\x64");
  CHECK_EVENT(t->events[1], 0, "\xFF\x06top");
  CHECK_EVENT(t->events[2], 480, "\x80\x3C\x00"); // as added: before the note-on
  CHECK_EVENT(t->events[3], 480, "\x90\x3E\x64");
  assert_int_equal(t->end, 960);
  assert_int_equal(way_smf_sort(smf), WAY_OK);
  check_equal(smf, again);
  way_smf_free(again);
  way_smf_free(smf);
  free(bytes);
}

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

static void test_long_pauses_are_bridged(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(0, 96);
  assert_non_null(way_smf_add_track(smf));
  const uint64_t far = (uint64_t)5 << 28;
  assert_int_equal(way_smf_add(smf, 0, far, (const uint8_t[]){0xC0, 1}, 2), WAY_OK);
  uint8_t* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_smf_write(smf, &bytes, &size), WAY_OK);
  WaySmf* const again = read_ok(bytes, size);
  const WaySmfTrack* const t = &again->tracks[0];
  CHECK_EVENT(t->events[0], 0xFFFFFFF, "\xFF\x01");
  CHECK_EVENT(t->events[t->n - 1], far, "\xC0\x01");
  way_smf_free(again);
  way_smf_free(smf);
  free(bytes);
}

static void test_track_names(void** state) {
  (void)state;
  WaySmf* const smf = READ_BODY("\x00\xFF\x01\x01x\x00\xFF\x03\x05Gulls");
  assert_true(way_text_is(way_smf_track_name(&smf->tracks[0]), "Gulls"));
  way_smf_free(smf);
  WaySmf* const plain = read_ok(worked_format0, sizeof(worked_format0));
  assert_int_equal(way_smf_track_name(&plain->tracks[0]).size, 0);
  way_smf_free(plain);
}

static void test_ticks_of_music(void** state) {
  (void)state;
  WaySmf smf = {0, 96, 0, NULL, NULL};
  assert_int_equal(way_smf_music_tick(&smf, 96), WAY_TICKS_PER_QUARTER);
  assert_int_equal(way_smf_file_tick(&smf, WAY_TICKS_PER_QUARTER / 2), 48);
  smf.division = 1024; // does not divide a quarter: to the nearest
  assert_int_equal(way_smf_music_tick(&smf, 3), 11);
  smf.division = 1;
  assert_int_equal(way_smf_music_tick(&smf, WAY_SMF_TICK_MAX),
                   (int64_t)WAY_TICKS_PER_QUARTER << 48);
}

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

static void test_memory_running_out(void** state) {
  (void)state;
  for (long n = 1;; ++n) {
    alloc_fail_at(n);
    WaySmf* smf = NULL;
    WayError e;
    uint8_t* bytes = NULL;
    size_t size = 0;
    WayStatus st = way_smf_read(worked_format1, sizeof(worked_format1), &smf, &e);
    if (!st)
      st = way_smf_add(smf, 0, 0, (const uint8_t[]){0xC0, 1}, 2); // needs sorting
    if (!st) st = way_smf_write(smf, &bytes, &size);
    WayTempoMap* const map = st ? NULL : way_tempo_map_new(smf);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    if (st) assert_int_equal(st, WAY_ERR_NO_MEMORY);
    if (!st) assert_int_equal(map == NULL, failed);
    way_tempo_map_free(map);
    free(bytes);
    way_smf_free(smf);
    if (!failed) break;
    assert_in_range(n, 1, 100);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_worked_file_of_format_0),
      cmocka_unit_test(test_worked_file_of_format_1),
      cmocka_unit_test(test_variable_length_quantities),
      cmocka_unit_test(test_sysex_and_its_continuation),
      cmocka_unit_test(test_single_system_messages_take_the_standard_form),
      cmocka_unit_test(test_unknown_chunks_and_padding_are_passed_over),
      cmocka_unit_test(test_bad_headers_are_refused),
      cmocka_unit_test(test_bad_tracks_are_refused),
      cmocka_unit_test(test_places_too_far_are_refused),
      cmocka_unit_test(test_mutated_files),
      cmocka_unit_test(test_events_are_written_in_order),
      cmocka_unit_test(test_sorting_is_stable),
      cmocka_unit_test(test_only_well_formed_events_are_added),
      cmocka_unit_test(test_long_pauses_are_bridged),
      cmocka_unit_test(test_track_names),
      cmocka_unit_test(test_ticks_of_music),
      cmocka_unit_test(test_tempo_map),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
