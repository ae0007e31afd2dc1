#include "take/smf_write.h"

#include "base/midi.h"

#include <stdlib.h>
#include <string.h>

/// Counts bytes, and stores them once there is a place for them.
typedef struct {
  uint8_t* at; // NULL while counting
  size_t size;
} Sink;

static void put(Sink* s, const uint8_t* bytes, size_t n) {
  if (s->at) memcpy(s->at + s->size, bytes, n);
  s->size += n;
}

static void put_number(Sink* s, uint32_t value, unsigned n) {
  for (; n; --n) put(s, &(uint8_t){(uint8_t)(value >> 8 * (n - 1))}, 1);
}

static void put_quantity(Sink* s, uint32_t value) {
  for (int shift = 21; shift > 0; shift -= 7)
    if (value >> shift)
      put(s, &(uint8_t){(uint8_t)(0x80 | (value >> shift & 0x7F))}, 1);
  put(s, &(uint8_t){(uint8_t)(value & 0x7F)}, 1);
}

static void put_delta(Sink* s, uint64_t* now, uint64_t tick) {
  for (; tick - *now > WAY_SMF_QUANTITY_MAX; *now += WAY_SMF_QUANTITY_MAX) {
    put_quantity(s, WAY_SMF_QUANTITY_MAX);
    put(s, (const uint8_t[]){WAY_MIDI_META, WAY_META_TEXT, 0}, 3);
  }
  put_quantity(s, (uint32_t)(tick - *now));
  *now = tick;
}

static void put_event(Sink* s, const WaySmfEvent* e) {
  // Every event has bytes; the analyzer loses sight of them in the merge sort.
  const uint8_t status = e->bytes[0]; // NOLINT(clang-analyzer-core.NullDereference)
  const uint32_t head = status == WAY_MIDI_META ? 2 : 1; // what stands before a length
  put(s, e->bytes, head);
  if (status >= WAY_MIDI_SYSEX) put_quantity(s, e->size - head);
  put(s, e->bytes + head, e->size - head);
}

static void put_events(Sink* s, const WaySmfEvent* events, uint32_t n, uint64_t end) {
  uint64_t now = 0;
  for (uint32_t i = 0; i < n; ++i) {
    put_delta(s, &now, events[i].tick);
    put_event(s, &events[i]);
  }
  put_delta(s, &now, end > now ? end : now);
  put(s, (const uint8_t[]){WAY_MIDI_META, WAY_META_END, 0}, 3);
}

static WayStatus put_track(Sink* s, const WaySmfTrack* t) {
  WaySmfEvent* const sorted = way_smf_is_sorted(t) ? NULL : way_smf_sorted(t);
  if (!sorted && !way_smf_is_sorted(t)) return WAY_ERR_NO_MEMORY;
  const WaySmfEvent* const events = sorted ? sorted : t->events;
  Sink count = {NULL, 0};
  put_events(&count, events, t->n, t->end);
  put(s, (const uint8_t*)"MTrk", 4);
  put_number(s, (uint32_t)count.size, 4);
  put_events(s, events, t->n, t->end);
  free(sorted);
  return count.size > UINT32_MAX ? WAY_ERR_RANGE : WAY_OK;
}

static WayStatus put_file(Sink* s, const WaySmf* smf) {
  if (smf->n_tracks > UINT16_MAX) return WAY_ERR_RANGE;
  put(s, (const uint8_t*)"MThd", 4);
  put_number(s, 6, 4);
  put_number(s, smf->format, 2);
  put_number(s, smf->n_tracks, 2);
  put_number(s, smf->division, 2);
  for (uint32_t i = 0; i < smf->n_tracks; ++i) {
    const WayStatus st = put_track(s, &smf->tracks[i]);
    if (st) return st;
  }
  return WAY_OK;
}

WayStatus way_smf_write(const WaySmf* smf, uint8_t** out, size_t* size) {
  Sink s = {NULL, 0};
  WayStatus st = put_file(&s, smf);
  if (st) return st;
  uint8_t* const bytes = malloc(s.size);
  if (!bytes) return WAY_ERR_NO_MEMORY;
  s = (Sink){bytes, 0};
  st = put_file(&s, smf);
  if (st) {
    free(bytes);
    return st;
  }
  *out = bytes;
  *size = s.size;
  return WAY_OK;
}
