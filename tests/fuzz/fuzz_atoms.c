// Sequences as a hostile host would send: any types, sizes and times, objects of any
// shape, outputs of any size.  Outputs stay well-formed, and no note is left hanging.
#include "bare_host.h"

#include <lv2/patch/patch.h>
#include <lv2/time/time.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

/// Bytes still to be read; zeroes behind their end.
typedef struct {
  const uint8_t* at;
  size_t left;
} Bytes;

static uint32_t take(Bytes* b, unsigned n) {
  uint32_t value = 0;
  for (; n; --n) {
    value = value << 8 | (b->left ? *b->at : 0u);
    if (b->left) ++b->at, --b->left;
  }
  return value;
}

/// A number that means something to the guide more often than not.
static uint32_t word(Bare* b, Bytes* bytes) {
  static const char* const known[] = {
      LV2_ATOM__Int,         LV2_ATOM__Long,
      LV2_ATOM__Float,       LV2_ATOM__Double,
      LV2_ATOM__Bool,        LV2_ATOM__Object,
      LV2_ATOM__Blank,       LV2_ATOM__String,
      LV2_ATOM__Path,        LV2_ATOM__URID,
      LV2_MIDI__MidiEvent,   LV2_TIME__Position,
      LV2_TIME__bar,         LV2_TIME__barBeat,
      LV2_TIME__beatsPerBar, LV2_TIME__beatUnit,
      LV2_TIME__frame,       LV2_TIME__beatsPerMinute,
      LV2_TIME__speed,       LV2_PATCH__Get,
      LV2_PATCH__Set,        LV2_PATCH__Put,
      LV2_PATCH__property,   LV2_PATCH__value,
      LV2_PATCH__body,       LV2_PATCH__subject,
      WAY_GUIDE_URI,         WAY_GUIDE_URI "#chartText"};
  const uint32_t how = take(bytes, 1);
  const unsigned n = sizeof(known) / sizeof(known[0]);
  if (how < n) return bare_map(b, known[how]);
  return how < 160 ? how - n : take(bytes, 4);
}

/// One event: its type, a frame that may lie anywhere, words or bytes for a body.
static void put_event(Bare* b, Bytes* bytes, unsigned port, uint32_t n_frames) {
  uint32_t body[48] = {0};
  const LV2_URID type = word(b, bytes);
  const int64_t frame = (int64_t)take(bytes, 1) * n_frames / 200 - 2;
  const uint32_t n = take(bytes, 1) % (sizeof(body) + 1u);
  if (type == bare_map(b, LV2_MIDI__MidiEvent))
    for (uint32_t i = 0; i < n; ++i) ((uint8_t*)body)[i] = (uint8_t)take(bytes, 1);
  else
    for (uint32_t i = 0; i < (n + 3) / 4; ++i) body[i] = word(b, bytes);
  bare_add(b, port, frame, type, body, n);
}

/// Let a header lie now and then, but not past what the host owns.
static void lie(Bare* b, Bytes* bytes, unsigned port) {
  LV2_Atom* const atom = &bare_port(b, port)->atom;
  const uint32_t how = take(bytes, 1);
  if (how < 200) return;
  if (how < 220) atom->type = word(b, bytes);
  if (how >= 220) atom->size = take(bytes, 2) % (BARE_BUFFER - sizeof(LV2_Atom));
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  Bytes bytes = {data, size};
  Bare* const b = bare_new();
  bare_restore(b, bare_chart, b);
  for (int block = 0; bytes.left && block < 200; ++block) {
    const uint32_t n_frames = take(&bytes, 1) * 8;
    const uint32_t what = take(&bytes, 1);
    if (what < 40) {
      const uint32_t bits = take(&bytes, 4);
      memcpy(&b->controls[4 + take(&bytes, 1) % (WAY_PORT_COUNT - 4)], &bits, 4);
    }
    if (what >= 40 && what < 80) b->capacity = 8 + 8 * (take(&bytes, 1) % 100);
    if (what == 80) b->d->deactivate(b->instance);
    for (unsigned port = 0; port < 2; ++port) {
      for (uint32_t n = take(&bytes, 1) % 8; n; --n)
        put_event(b, &bytes, port, n_frames);
      lie(b, &bytes, port);
    }
    bare_run(b, n_frames);
  }
  bare_free(b);
  return 0;
}
