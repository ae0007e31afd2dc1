#include "take/smf_read.h"

#include "base/midi.h"

#include <stdio.h>
#include <string.h>

/// Bytes at the head of each chunk: its name and its length.
#define CHUNK_HEADER 8u

typedef struct {
  const uint8_t* bytes;
  size_t at;  // next byte
  size_t end; // of the chunk being read
  WaySmf* smf;
  WayError* error;
} Reader;

static WayStatus refuse(Reader* r, size_t byte, WayStatus status, const char* message) {
  way_fail(status, message, r->error);
  if (r->error) r->error->byte = byte;
  return status;
}

static WayStatus no_memory(Reader* r) {
  return refuse(r, r->at, WAY_ERR_NO_MEMORY, way_strerror(WAY_ERR_NO_MEMORY));
}

static uint32_t big_endian(const uint8_t* at, unsigned n) {
  uint32_t value = 0;
  for (unsigned i = 0; i < n; ++i) value = value << 8 | at[i];
  return value;
}

static WayStatus read_quantity(Reader* r, const char* what, uint32_t* out) {
  const size_t start = r->at;
  char message[WAY_ERROR_MAX];
  uint32_t value = 0;
  for (int i = 0; i < 4; ++i) {
    if (r->at == r->end) {
      snprintf(message, sizeof(message), "the track ends inside a %s", what);
      return refuse(r, r->at, WAY_ERR_FORMAT, message);
    }
    const uint8_t byte = r->bytes[r->at++];
    value = value << 7 | (byte & 0x7F);
    if (byte < 0x80) {
      *out = value;
      return WAY_OK;
    }
  }
  snprintf(message, sizeof(message), "a %s of more than four bytes", what);
  return refuse(r, start, WAY_ERR_FORMAT, message);
}

/// Store an event whose `size` data bytes stand at the reader; `head` holds what comes
/// before them.
static WayStatus keep(Reader* r, WaySmfTrack* track, WaySmfEvent event,
                      const uint8_t* head, uint32_t n_head, uint32_t size) {
  if (r->end - r->at < size) {
    char message[WAY_ERROR_MAX];
    snprintf(message, sizeof(message),
             "an event of %lu more bytes, but only %lu are left in its track",
             (unsigned long)size, (unsigned long)(r->end - r->at));
    return refuse(r, event.offset, WAY_ERR_FORMAT, message);
  }
  uint8_t* const bytes = way_byte_store_take(&r->smf->store, n_head + size, 0);
  if (!bytes) return no_memory(r);
  memcpy(bytes, head, n_head);
  memcpy(bytes + n_head, r->bytes + r->at, size);
  event.bytes = bytes;
  event.size = n_head + size;
  const WayStatus st = way_smf_push(track, event);
  if (st) return no_memory(r);
  r->at += size;
  return WAY_OK;
}

static WayStatus read_sysex(Reader* r, WaySmfTrack* track, WaySmfEvent event,
                            uint8_t status) {
  uint32_t size = 0;
  const WayStatus st = read_quantity(r, "SysEx length", &size);
  return st ? st : keep(r, track, event, &status, 1, size);
}

/// `*ended` is set by the end of the track.
static WayStatus read_meta(Reader* r, WaySmfTrack* track, WaySmfEvent event,
                           bool* ended) {
  if (r->at == r->end)
    return refuse(r, r->at, WAY_ERR_FORMAT, "the track ends inside a meta event");
  const uint8_t head[2] = {WAY_MIDI_META, r->bytes[r->at++]};
  if (head[1] > 0x7F)
    return refuse(r, r->at - 1, WAY_ERR_FORMAT, "a meta event's type is above 7F");
  uint32_t size = 0;
  const WayStatus st = read_quantity(r, "meta event length", &size);
  if (st) return st;
  if (head[1] != WAY_META_END) return keep(r, track, event, head, 2, size);
  if (r->end - r->at != size)
    return refuse(r, r->at, WAY_ERR_FORMAT, "the track goes on after its end");
  r->at = r->end;
  track->end = event.tick;
  *ended = true;
  return WAY_OK;
}

/// A channel message, or a system message outside a SysEx (kept in the F7 form).
static WayStatus read_message(Reader* r, WaySmfTrack* track, WaySmfEvent event,
                              uint8_t status) {
  const int n = way_midi_data_bytes(status);
  if (n < 0)
    return refuse(r, event.offset, WAY_ERR_FORMAT, "a status byte that does not exist");
  for (size_t i = r->at; i < r->at + (size_t)n && i < r->end; ++i)
    if (r->bytes[i] > 0x7F)
      return refuse(r, i, WAY_ERR_FORMAT, "a status byte where data was expected");
  const uint8_t head[2] = {WAY_MIDI_SYSEX_MORE, status};
  const bool system = status >= WAY_MIDI_SYSEX;
  return keep(r, track, event, head + !system, 1 + system, (uint32_t)n);
}

static WayStatus read_event(Reader* r, WaySmfTrack* track, uint64_t* tick,
                            uint8_t* running, bool* ended) {
  const size_t start = r->at;
  uint32_t delta = 0;
  const WayStatus st = read_quantity(r, "delta time", &delta);
  if (st) return st;
  *tick += delta;
  if (*tick > WAY_SMF_TICK_MAX)
    return refuse(r, start, WAY_ERR_UNSUPPORTED, "a place too far from the start");
  if (r->at == r->end)
    return refuse(r, r->at, WAY_ERR_FORMAT, "the track ends before an event");
  const WaySmfEvent event = {*tick, 0, (uint32_t)r->at, NULL};
  uint8_t status = r->bytes[r->at];
  if (status < 0x80) {
    if (!*running)
      return refuse(r, r->at, WAY_ERR_FORMAT, "data without a status byte before it");
    status = *running;
  } else {
    ++r->at;
    if (status < WAY_MIDI_SYSEX) *running = status;
  }
  if (status == WAY_MIDI_META) return read_meta(r, track, event, ended);
  if (status == WAY_MIDI_SYSEX || status == WAY_MIDI_SYSEX_MORE)
    return read_sysex(r, track, event, status);
  return read_message(r, track, event, status);
}

static WayStatus read_track(Reader* r) {
  WaySmfTrack* const track = way_smf_add_track(r->smf);
  if (!track) return no_memory(r);
  track->offset = (uint32_t)r->at - CHUNK_HEADER;
  // An event seldom takes less; room that is not used costs nothing.
  const uint32_t likely = (uint32_t)(r->end - r->at) / 3;
  if (likely && way_smf_reserve(track, likely)) return no_memory(r);
  uint64_t tick = 0;
  uint8_t running = 0;
  bool ended = false;
  while (!ended && r->at < r->end) {
    const WayStatus st = read_event(r, track, &tick, &running, &ended);
    if (st) return st;
  }
  return WAY_OK;
}

static WayStatus read_chunks(Reader* r, size_t size, uint32_t n_tracks) {
  while (size - r->at >= CHUNK_HEADER) {
    const size_t start = r->at;
    const bool is_track = !memcmp(r->bytes + start, "MTrk", 4);
    const uint32_t length = big_endian(r->bytes + start + 4, 4);
    const size_t left = size - start - CHUNK_HEADER;
    if (length > left) {
      if (!is_track && r->smf->n_tracks >= n_tracks) return WAY_OK; // padding
      char message[WAY_ERROR_MAX];
      snprintf(message, sizeof(message),
               "a chunk of %lu bytes, but only %lu are left in the file",
               (unsigned long)length, (unsigned long)left);
      return refuse(r, start, WAY_ERR_FORMAT, message);
    }
    r->at = start + CHUNK_HEADER;
    r->end = r->at + length;
    const WayStatus st = is_track ? read_track(r) : WAY_OK;
    if (st) return st;
    r->at = r->end;
  }
  if (r->smf->n_tracks >= n_tracks) return WAY_OK;
  char message[WAY_ERROR_MAX];
  snprintf(message, sizeof(message),
           "the file ends after %lu of the %lu tracks its header counts",
           (unsigned long)r->smf->n_tracks, (unsigned long)n_tracks);
  return refuse(r, size, WAY_ERR_FORMAT, message);
}

static WayStatus read_header(Reader* r, size_t size, uint16_t* format,
                             uint32_t* n_tracks, uint16_t* division) {
  const uint8_t* const b = r->bytes;
  if (!size) return refuse(r, 0, WAY_ERR_FORMAT, "the file is empty");
  if (memcmp(b, "MThd", size < 4 ? size : 4))
    return refuse(r, 0, WAY_ERR_FORMAT, "not a MIDI file: expected MThd");
  if (size < 14)
    return refuse(r, size, WAY_ERR_FORMAT, "the file ends inside its header");
  const uint32_t length = big_endian(b + 4, 4);
  if (length < 6 || length > size - CHUNK_HEADER)
    return refuse(r, 4, WAY_ERR_FORMAT, "the header's length does not fit the file");
  if (size > UINT32_MAX)
    return refuse(r, 0, WAY_ERR_UNSUPPORTED, "a file of 4 GiB or more");
  *format = (uint16_t)big_endian(b + 8, 2);
  *n_tracks = big_endian(b + 10, 2);
  *division = (uint16_t)big_endian(b + 12, 2);
  if (*format > 2) return refuse(r, 8, WAY_ERR_UNSUPPORTED, "a format above 2");
  if (*division & 0x8000)
    return refuse(r, 12, WAY_ERR_UNSUPPORTED,
                  "time in SMPTE frames; export the file with ticks per quarter note");
  if (!*division) return refuse(r, 12, WAY_ERR_FORMAT, "zero ticks per quarter note");
  r->at = CHUNK_HEADER + (size_t)length;
  return WAY_OK;
}

WayStatus way_smf_read(const uint8_t* bytes, size_t size, WaySmf** out,
                       WayError* error) {
  Reader r = {bytes, 0, size, NULL, error};
  uint16_t format = 0, division = 0;
  uint32_t n_tracks = 0;
  WayStatus st = read_header(&r, size, &format, &n_tracks, &division);
  if (st) return st;
  r.smf = way_smf_new(format, division);
  if (!r.smf) return no_memory(&r);
  // One block takes every event: each needs no more bytes than it has in the file,
  // where a delta time stands before it.
  if (!way_byte_store_take(&r.smf->store, 0, size)) {
    st = no_memory(&r);
  } else {
    st = read_chunks(&r, size, n_tracks);
  }
  if (st) {
    way_smf_free(r.smf);
    return st;
  }
  *out = r.smf;
  return WAY_OK;
}
