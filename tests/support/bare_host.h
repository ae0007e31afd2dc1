// The guide without a host library around it: for fuzzers, which want speed and every
// byte in their own hands.
#ifndef WAY_TESTS_BARE_HOST_H
#define WAY_TESTS_BARE_HOST_H

#include "../../plugin/ports.h"

#include <lv2/atom/atom.h>
#include <lv2/core/lv2.h>
#include <lv2/midi/midi.h>
#include <lv2/state/state.h>
#include <lv2/urid/urid.h>
#include <lv2/worker/worker.h>

#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define BARE_BUFFER 16384u
#define BARE_URIDS 128u
#define BARE_GUARD 16u ///< Bytes behind an output that must stay

/// One instance, its ports, and what it has sent.
typedef struct {
  const LV2_Descriptor* d;
  LV2_Handle instance;
  char* uris[BARE_URIDS];
  unsigned n_uris;
  LV2_URID_Map map;
  LV2_Worker_Schedule schedule;
  LV2_Feature map_feature, worker_feature;
  const LV2_Feature* features[3];
  _Alignas(8) uint8_t buffers[4][BARE_BUFFER + BARE_GUARD];
  float controls[WAY_PORT_COUNT];
  uint32_t capacity;        ///< Of outputs; a multiple of 8, 8..#BARE_BUFFER
  int sounding[2][16][128]; ///< By output: note-ons less note-offs
} Bare;

static inline LV2_URID bare_map(LV2_URID_Map_Handle handle, const char* uri) {
  Bare* const b = (Bare*)handle;
  unsigned i = 0;
  while (i < b->n_uris && strcmp(b->uris[i], uri) != 0) ++i;
  if (i == BARE_URIDS) abort();
  if (i == b->n_uris) b->uris[b->n_uris++] = strdup(uri);
  return i + 1;
}

static inline LV2_Worker_Status bare_respond(LV2_Worker_Respond_Handle handle,
                                             uint32_t size, const void* data) {
  Bare* const b = (Bare*)handle;
  const LV2_Worker_Interface* const w =
      (const LV2_Worker_Interface*)b->d->extension_data(LV2_WORKER__interface);
  return w->work_response(b->instance, size, data);
}

static inline LV2_Worker_Status bare_schedule(LV2_Worker_Schedule_Handle handle,
                                              uint32_t size, const void* data) {
  Bare* const b = (Bare*)handle;
  const LV2_Worker_Interface* const w =
      (const LV2_Worker_Interface*)b->d->extension_data(LV2_WORKER__interface);
  return w->work(b->instance, bare_respond, b, size, data);
}

/// The buffer of an event port.
static inline LV2_Atom_Sequence* bare_port(Bare* b, unsigned port) {
  return (LV2_Atom_Sequence*)(void*)b->buffers[port];
}

/// Make an input an empty sequence.
static inline void bare_empty(Bare* b, unsigned port) {
  LV2_Atom_Sequence* const seq = bare_port(b, port);
  seq->atom =
      (LV2_Atom){sizeof(LV2_Atom_Sequence_Body), bare_map(b, LV2_ATOM__Sequence)};
  seq->body = (LV2_Atom_Sequence_Body){0, 0};
}

/// Append an event to an input, padding included; left out if there is no room.
static inline void bare_add(Bare* b, unsigned port, int64_t frame, LV2_URID type,
                            const void* body, uint32_t size) {
  LV2_Atom_Sequence* const seq = bare_port(b, port);
  const size_t whole = sizeof(LV2_Atom_Event) + ((size + 7u) & ~7u);
  const size_t used = sizeof(LV2_Atom) + seq->atom.size;
  if (whole > BARE_BUFFER - used) return;
  LV2_Atom_Event* const e = (LV2_Atom_Event*)(void*)(b->buffers[port] + used);
  memset(e, 0, whole);
  e->time.frames = frame;
  e->body = (LV2_Atom){size, type};
  memcpy(e + 1, body, size);
  seq->atom.size += (uint32_t)whole;
}

static inline Bare* bare_new(void) {
  Bare* const b = (Bare*)calloc(1, sizeof(*b));
  if (!b) abort();
  b->map = (LV2_URID_Map){b, bare_map};
  b->schedule = (LV2_Worker_Schedule){b, bare_schedule};
  b->map_feature = (LV2_Feature){LV2_URID__map, &b->map};
  b->worker_feature = (LV2_Feature){LV2_WORKER__schedule, &b->schedule};
  b->features[0] = &b->map_feature;
  b->features[1] = &b->worker_feature;
  b->d = lv2_descriptor(0);
  b->instance = b->d->instantiate(b->d, 48000, "", b->features);
  if (!b->instance) abort();
  b->capacity = BARE_BUFFER;
  for (uint32_t i = 0; i < WAY_PORT_COUNT; ++i) {
    b->controls[i] = i == WAY_PORT_ENABLED ? 1 : 0;
    b->d->connect_port(b->instance, i, i < 4 ? (void*)b->buffers[i] : &b->controls[i]);
  }
  bare_empty(b, 0);
  bare_empty(b, 1);
  return b;
}

/// Take note of a message that was sent.
static inline void bare_hear(Bare* b, unsigned output, const LV2_Atom_Event* e) {
  const uint8_t* const m = (const uint8_t*)(e + 1);
  if (e->body.type != bare_map(b, LV2_MIDI__MidiEvent) || e->body.size != 3 ||
      (m[0] & 0xE0) != 0x80)
    return;
  int* const n = &b->sounding[output][m[0] & 15][m[1] & 127];
  if (m[0] >= 0x90 && m[2])
    ++*n;
  else if (*n)
    --*n; // an orphan passes
}

/// An output is a sequence that lies inside its buffer and block.
static inline void bare_check(Bare* b, unsigned output, uint32_t n_frames) {
  const uint8_t* const buffer = b->buffers[WAY_PORT_OUT + output];
  const LV2_Atom_Sequence* const seq = bare_port(b, WAY_PORT_OUT + output);
  for (unsigned i = 0; i < BARE_GUARD; ++i)
    if (buffer[b->capacity + i] != 0xA5) abort();
  if (!seq->atom.size) return; // not even a head fits
  if (seq->atom.size + sizeof(LV2_Atom) > b->capacity) abort();
  int64_t last = 0;
  const uint8_t* at = (const uint8_t*)(seq + 1);
  const uint8_t* const end = (const uint8_t*)&seq->body + seq->atom.size;
  while (at < end) {
    const LV2_Atom_Event* const e = (const LV2_Atom_Event*)(const void*)at;
    const size_t left = (size_t)(end - at);
    if (left < sizeof(*e) || e->body.size > left - sizeof(*e)) abort();
    const int64_t most = n_frames ? (int64_t)n_frames - 1 : 0;
    if (e->time.frames < last || e->time.frames > most) abort();
    last = e->time.frames;
    bare_hear(b, output, e);
    at += sizeof(*e) + ((e->body.size + 7u) & ~7u);
  }
}

/// Run one block, check what comes out, and empty the inputs.
static inline void bare_run(Bare* b, uint32_t n_frames) {
  for (unsigned i = 0; i < 2; ++i) {
    uint8_t* const buffer = b->buffers[WAY_PORT_OUT + i];
    memset(buffer + b->capacity, 0xA5, BARE_GUARD);
    bare_port(b, WAY_PORT_OUT + i)->atom = (LV2_Atom){b->capacity, 0};
  }
  b->d->run(b->instance, n_frames);
  for (unsigned i = 0; i < 2; ++i) bare_check(b, i, n_frames);
  bare_empty(b, 0);
  bare_empty(b, 1);
}

/// End it; whatever happened, every note has ended by then.
static inline void bare_free(Bare* b) {
  b->d->deactivate(b->instance);
  b->capacity = BARE_BUFFER;
  for (int i = 0; i < 40; ++i) bare_run(b, 512); // what is owed, what lanes hold
  for (unsigned output = 0; output < 2; ++output)
    for (unsigned i = 0; i < 16 * 128; ++i)
      if (b->sounding[output][i / 128][i % 128]) abort();
  b->d->cleanup(b->instance);
  for (unsigned i = 0; i < b->n_uris; ++i) free(b->uris[i]);
  free(b);
}

/// Give a chart as its state would.
static inline const void* bare_chart(LV2_State_Handle handle, uint32_t key,
                                     size_t* size, uint32_t* type, uint32_t* flags) {
  static const char text[] = "key: F major\n| F | Dm7>3 | Gm7 / C7 / | N.C. |\n";
  Bare* const b = (Bare*)handle;
  if (key != bare_map(b, WAY_GUIDE_URI "#chartText")) return NULL;
  *size = sizeof(text);
  *type = bare_map(b, LV2_ATOM__String);
  *flags = LV2_STATE_IS_POD;
  return text;
}

/// Restore a state.
static inline void bare_restore(Bare* b, LV2_State_Retrieve_Function retrieve,
                                LV2_State_Handle handle) {
  const LV2_State_Interface* const s =
      (const LV2_State_Interface*)b->d->extension_data(LV2_STATE__interface);
  s->restore(b->instance, retrieve, handle, 0, b->features);
}

#endif
