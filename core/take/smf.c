#include "take/smf.h"

#include "take/big.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
  META = 0xFF,
  SYSEX = 0xF0,
  SYSEX_MORE = 0xF7,
  META_TEXT = 0x01,
  META_NAME = 0x03,
  META_END = 0x2F,
  META_TEMPO = 0x51,
  META_METRE = 0x58,
  CHUNK_HEADER = 8,
  DELTA_MAX = 0x0FFFFFFF, // the largest variable-length quantity
};

// ---- Memory: event bytes live in blocks that never move.

typedef struct Block {
  struct Block* next;
  size_t used, room;
  uint8_t bytes[];
} Block;

struct WaySmfStore {
  Block* blocks; // the first one has room left
};

static uint8_t* store_take(struct WaySmfStore* store, size_t size, size_t block_size) {
  Block* b = store->blocks;
  if (!b || b->room - b->used < size) {
    const size_t room = size > block_size ? size : block_size;
    b = way_big_resize(NULL, sizeof(*b) + room);
    if (!b) return NULL;
    *b = (Block){store->blocks, 0, room};
    store->blocks = b;
  }
  b->used += size;
  return b->bytes + b->used - size;
}

WaySmf* way_smf_new(uint16_t format, uint16_t division) {
  WaySmf* const smf = calloc(1, sizeof(*smf));
  struct WaySmfStore* const store = calloc(1, sizeof(*store));
  if (!smf || !store) {
    free(smf);
    free(store);
    return NULL;
  }
  smf->format = format;
  smf->division = division;
  smf->store = store;
  return smf;
}

void way_smf_free(WaySmf* smf) {
  if (!smf) return;
  for (uint32_t t = 0; t < smf->n_tracks; ++t) free(smf->tracks[t].events);
  free(smf->tracks);
  for (Block *b = smf->store->blocks, *next; b; b = next) {
    next = b->next;
    free(b);
  }
  free(smf->store);
  free(smf);
}

WaySmfTrack* way_smf_add_track(WaySmf* smf) {
  // Room doubles at each power of two, so that many tracks stay linear.
  if (!(smf->n_tracks & (smf->n_tracks - 1))) {
    const size_t room = smf->n_tracks ? 2 * (size_t)smf->n_tracks : 1;
    WaySmfTrack* const more = realloc(smf->tracks, room * sizeof(*more));
    if (!more) return NULL;
    smf->tracks = more;
  }
  WaySmfTrack* const track = &smf->tracks[smf->n_tracks++];
  *track = (WaySmfTrack){.events = NULL};
  return track;
}

static WayStatus make_room(WaySmfTrack* track, uint32_t room) {
  WaySmfEvent* const more = way_big_resize(track->events, room * sizeof(*more));
  if (!more) return WAY_ERR_NO_MEMORY;
  track->events = more;
  track->room = room;
  return WAY_OK;
}

static WayStatus push(WaySmfTrack* track, WaySmfEvent event) {
  if (track->n == track->room) {
    if (track->room > UINT32_MAX / 2) return WAY_ERR_NO_MEMORY;
    const WayStatus st = make_room(track, track->room ? 2 * track->room : 16);
    if (st) return st;
  }
  track->events[track->n++] = event;
  track->n_metas += way_smf_meta(&event) >= 0;
  if (event.tick > track->end) track->end = event.tick;
  return WAY_OK;
}

/// Data bytes after a status below F0, or after a system message that may stand alone;
/// -1 for what has no fixed length or does not exist.
static int data_bytes(uint8_t status) {
  static const int8_t channel[] = {2, 2, 2, 2, 1, 1, 2}; // 8n 9n An Bn Cn Dn En
  static const int8_t system[] = {-1, 1,  2, 1, -1, -1, 0, -1,
                                  0,  -1, 0, 0, 0,  -1, 0, -1};
  return status < SYSEX ? channel[(status >> 4) - 8] : system[status & 0x0F];
}

// ---- Reading.

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
  uint8_t* const bytes = store_take(r->smf->store, n_head + size, 0);
  if (!bytes) return no_memory(r);
  memcpy(bytes, head, n_head);
  memcpy(bytes + n_head, r->bytes + r->at, size);
  event.bytes = bytes;
  event.size = n_head + size;
  const WayStatus st = push(track, event);
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
  const uint8_t head[2] = {META, r->bytes[r->at++]};
  if (head[1] > 0x7F)
    return refuse(r, r->at - 1, WAY_ERR_FORMAT, "a meta event's type is above 7F");
  uint32_t size = 0;
  const WayStatus st = read_quantity(r, "meta event length", &size);
  if (st) return st;
  if (head[1] != META_END) return keep(r, track, event, head, 2, size);
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
  const int n = data_bytes(status);
  if (n < 0)
    return refuse(r, event.offset, WAY_ERR_FORMAT, "a status byte that does not exist");
  for (size_t i = r->at; i < r->at + (size_t)n && i < r->end; ++i)
    if (r->bytes[i] > 0x7F)
      return refuse(r, i, WAY_ERR_FORMAT, "a status byte where data was expected");
  const uint8_t head[2] = {SYSEX_MORE, status};
  const bool system = status >= SYSEX;
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
    if (status < SYSEX) *running = status;
  }
  if (status == META) return read_meta(r, track, event, ended);
  if (status == SYSEX || status == SYSEX_MORE)
    return read_sysex(r, track, event, status);
  return read_message(r, track, event, status);
}

static WayStatus read_track(Reader* r) {
  WaySmfTrack* const track = way_smf_add_track(r->smf);
  if (!track) return no_memory(r);
  track->offset = (uint32_t)r->at - CHUNK_HEADER;
  // An event seldom takes less; room that is not used costs nothing.
  const uint32_t likely = (uint32_t)(r->end - r->at) / 3;
  if (likely && make_room(track, likely)) return no_memory(r);
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
  if (!store_take(r.smf->store, 0, size)) {
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

// ---- Adding.

static bool well_formed(const uint8_t* bytes, uint32_t size) {
  if (!size || bytes[0] < 0x80) return false;
  if (bytes[0] == META) return size >= 2 && bytes[1] < 0x80;
  if (bytes[0] >= SYSEX) return bytes[0] == SYSEX || bytes[0] == SYSEX_MORE;
  if ((int64_t)size != 1 + data_bytes(bytes[0])) return false;
  for (uint32_t i = 1; i < size; ++i)
    if (bytes[i] > 0x7F) return false;
  return true;
}

WayStatus way_smf_add(WaySmf* smf, uint32_t track, uint64_t tick, const uint8_t* bytes,
                      uint32_t size) {
  if (track >= smf->n_tracks || tick > WAY_SMF_TICK_MAX || size > DELTA_MAX ||
      !well_formed(bytes, size))
    return WAY_ERR_RANGE;
  WaySmfTrack* const t = &smf->tracks[track];
  if (bytes[0] == META && bytes[1] == META_END) {
    if (tick > t->end) t->end = tick;
    return WAY_OK;
  }
  uint8_t* const copy = store_take(smf->store, size, 1u << 16);
  if (!copy) return WAY_ERR_NO_MEMORY;
  memcpy(copy, bytes, size);
  return push(t, (WaySmfEvent){tick, size, 0, copy});
}

WayStatus way_smf_add_text(WaySmf* smf, uint32_t track, uint64_t tick, uint8_t type,
                           const char* text) {
  const size_t n = strlen(text);
  if (type < 1 || type > 15 || n > DELTA_MAX - 2) return WAY_ERR_RANGE;
  uint8_t* const bytes = malloc(n + 2);
  if (!bytes) return WAY_ERR_NO_MEMORY;
  bytes[0] = META;
  bytes[1] = type;
  memcpy(bytes + 2, text, n);
  const WayStatus st = way_smf_add(smf, track, tick, bytes, (uint32_t)n + 2);
  free(bytes);
  return st;
}

WayStatus way_smf_add_tempo(WaySmf* smf, uint32_t track, uint64_t tick, double tempo) {
  const uint32_t us = (uint32_t)(60e6 / tempo + 0.5);
  const uint8_t bytes[] = {META, META_TEMPO, (uint8_t)(us >> 16), (uint8_t)(us >> 8),
                           (uint8_t)us};
  return way_smf_add(smf, track, tick, bytes, sizeof(bytes));
}

WayStatus way_smf_add_metre(WaySmf* smf, uint32_t track, uint64_t tick,
                            WayMetre metre) {
  uint8_t power = 0;
  while (1u << power < metre.unit) ++power;
  // 24 MIDI clocks and eight 32nds a quarter note.
  const uint8_t bytes[] = {
      META, META_METRE, metre.beats, power, (uint8_t)(96u >> power), 8};
  return way_smf_add(smf, track, tick, bytes, sizeof(bytes));
}

static bool is_sorted(const WaySmfTrack* t) {
  for (uint32_t i = 1; i < t->n; ++i)
    if (t->events[i].tick < t->events[i - 1].tick) return false;
  return true;
}

/// Merge sort from the bottom up: stable, and n log n whatever the order.  The result
/// is in `a` or `b`; returns which.
static WaySmfEvent* sort_events(WaySmfEvent* a, WaySmfEvent* b, size_t n) {
  for (size_t width = 1; width < n; width *= 2) {
    for (size_t low = 0; low < n; low += 2 * width) {
      const size_t middle = low + width < n ? low + width : n;
      const size_t high = middle + width < n ? middle + width : n;
      size_t left = low, right = middle;
      for (size_t i = low; i < high; ++i) {
        const bool take_left =
            left < middle && // NOLINTNEXTLINE: the analyzer loses count of `n`
            (right == high || a[left].tick <= a[right].tick);
        b[i] = take_left ? a[left++] : a[right++];
      }
    }
    WaySmfEvent* const swap = a;
    a = b;
    b = swap;
  }
  return a;
}

/// A sorted copy in the first half of a new array of twice the track's size.
static WaySmfEvent* sorted_copy(const WaySmfTrack* t) {
  WaySmfEvent* const both = calloc(2 * (size_t)t->n, sizeof(*both));
  if (!both || !t->events) return both;
  memcpy(both, t->events, t->n * sizeof(*both));
  const WaySmfEvent* const sorted = sort_events(both, both + t->n, t->n);
  if (sorted != both) memcpy(both, sorted, t->n * sizeof(*both));
  return both;
}

WayStatus way_smf_sort(WaySmf* smf) {
  for (uint32_t i = 0; i < smf->n_tracks; ++i) {
    WaySmfTrack* const t = &smf->tracks[i];
    if (!t->events || is_sorted(t)) continue;
    WaySmfEvent* const sorted = sorted_copy(t);
    if (!sorted) return WAY_ERR_NO_MEMORY;
    memcpy(t->events, sorted, t->n * sizeof(*sorted));
    free(sorted);
  }
  return WAY_OK;
}

// ---- Writing.

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
  for (; tick - *now > DELTA_MAX; *now += DELTA_MAX) {
    put_quantity(s, DELTA_MAX);
    put(s, (const uint8_t[]){META, META_TEXT, 0}, 3);
  }
  put_quantity(s, (uint32_t)(tick - *now));
  *now = tick;
}

static void put_event(Sink* s, const WaySmfEvent* e) {
  // Every event has bytes; the analyzer loses sight of them in the merge sort.
  const uint8_t status = e->bytes[0]; // NOLINT(clang-analyzer-core.NullDereference)
  const uint32_t head = status == META ? 2 : 1; // what stands before a length
  put(s, e->bytes, head);
  if (status >= SYSEX) put_quantity(s, e->size - head);
  put(s, e->bytes + head, e->size - head);
}

static void put_events(Sink* s, const WaySmfEvent* events, uint32_t n, uint64_t end) {
  uint64_t now = 0;
  for (uint32_t i = 0; i < n; ++i) {
    put_delta(s, &now, events[i].tick);
    put_event(s, &events[i]);
  }
  put_delta(s, &now, end > now ? end : now);
  put(s, (const uint8_t[]){META, META_END, 0}, 3);
}

static WayStatus put_track(Sink* s, const WaySmfTrack* t) {
  WaySmfEvent* const sorted = is_sorted(t) ? NULL : sorted_copy(t);
  if (!sorted && !is_sorted(t)) return WAY_ERR_NO_MEMORY;
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

// ---- Asking.

int way_smf_meta(const WaySmfEvent* e) {
  return e->bytes[0] == META ? e->bytes[1] : -1;
}

WayText way_smf_meta_data(const WaySmfEvent* e) {
  return (WayText){(const char*)e->bytes + 2, e->size - 2};
}

/// A walk over the meta events of a track, which looks no further than the last.
typedef struct {
  const WaySmfTrack* track;
  uint32_t next, left;
} Metas;

static Metas metas_of(const WaySmfTrack* track) {
  return (Metas){track, 0, track->n_metas};
}

/// The next one; NULL behind the last.
static const WaySmfEvent* next_meta(Metas* m) {
  while (m->left) {
    const WaySmfEvent* const e = &m->track->events[m->next++];
    if (way_smf_meta(e) < 0) continue;
    --m->left;
    return e;
  }
  return NULL;
}

WayText way_smf_track_name(const WaySmfTrack* track) {
  Metas metas = metas_of(track);
  for (const WaySmfEvent* e; (e = next_meta(&metas));)
    if (way_smf_meta(e) == META_NAME) return way_smf_meta_data(e);
  return way_text("");
}

/// value * to / from, to the nearest; no product overflows within #WAY_SMF_TICK_MAX.
static uint64_t scaled(uint64_t value, uint64_t to, uint64_t from) {
  return value / from * to + (value % from * to + from / 2) / from;
}

WayTick way_smf_music_tick(const WaySmf* smf, uint64_t tick) {
  return (WayTick)scaled(tick, WAY_TICKS_PER_QUARTER, smf->division);
}

WayTick way_smf_music_end(const WaySmf* smf) {
  uint64_t end = 0;
  for (uint32_t t = 0; t < smf->n_tracks; ++t)
    if (smf->tracks[t].end > end) end = smf->tracks[t].end;
  return way_smf_music_tick(smf, end);
}

uint64_t way_smf_file_tick(const WaySmf* smf, WayTick tick) {
  return scaled((uint64_t)tick, smf->division, WAY_TICKS_PER_QUARTER);
}

/// Copy the metas of a type to the first track of `out`.
static WayStatus copy_metas(const WaySmf* smf, uint8_t type, WaySmf* out) {
  if (!way_smf_add_track(out)) return WAY_ERR_NO_MEMORY;
  for (uint32_t t = 0; t < smf->n_tracks && (smf->format != 2 || !t); ++t) {
    Metas metas = metas_of(&smf->tracks[t]);
    for (const WaySmfEvent* e; (e = next_meta(&metas));) {
      if (way_smf_meta(e) != type) continue;
      const WayStatus st = way_smf_add(out, 0, e->tick, e->bytes, e->size);
      if (st) return st;
    }
  }
  return way_smf_sort(out);
}

WaySmf* way_smf_metas(const WaySmf* smf, uint8_t type) {
  WaySmf* const out = way_smf_new(1, smf->division);
  if (!out || !copy_metas(smf, type, out)) return out;
  way_smf_free(out);
  return NULL;
}

// ---- Tempo.

typedef struct {
  uint64_t tick;
  double seconds;
  uint32_t tempo; // microseconds a quarter note
} Segment;

struct WayTempoMap {
  uint16_t division;
  size_t n; // at least 1: the first begins at tick 0
  Segment segments[];
};

/// Microseconds a quarter note if the event sets a usable tempo, else 0.
static uint32_t tempo_of(const WaySmfEvent* e) {
  if (way_smf_meta(e) != META_TEMPO || e->size != 5) return 0;
  return big_endian(e->bytes + 2, 3);
}

static double segment_seconds(const WayTempoMap* map, const Segment* s, uint64_t tick) {
  return s->seconds + (double)(tick - s->tick) * s->tempo / (map->division * 1e6);
}

/// Lay sorted tempo events end to end; of several on one tick the last is found.
static void fill_map(WayTempoMap* map, const WaySmfEvent* events, size_t n) {
  map->segments[0] = (Segment){0, 0, 500000}; // RP-001: 120 quarter notes a minute
  map->n = 1;
  for (size_t i = 0; i < n; ++i) {
    const Segment* const last = &map->segments[map->n - 1];
    // NOLINTNEXTLINE: all `n` events are filled in
    const Segment next = {events[i].tick, segment_seconds(map, last, events[i].tick),
                          tempo_of(&events[i])};
    map->segments[map->n++] = next;
  }
}

WayTempoMap* way_tempo_map_new(const WaySmf* smf) {
  const uint32_t n_tracks = smf->format == 2 && smf->n_tracks ? 1 : smf->n_tracks;
  size_t n = 0;
  for (uint32_t t = 0; t < n_tracks; ++t) {
    Metas metas = metas_of(&smf->tracks[t]);
    for (const WaySmfEvent* e; (e = next_meta(&metas));) n += tempo_of(e) != 0;
  }
  WaySmfEvent* const both = malloc((2 * n + 1) * sizeof(*both));
  WayTempoMap* const map = malloc(sizeof(*map) + (n + 1) * sizeof(Segment));
  if (!both || !map) {
    free(both);
    free(map);
    return NULL;
  }
  size_t filled = 0;
  for (uint32_t t = 0; t < n_tracks; ++t) {
    Metas metas = metas_of(&smf->tracks[t]);
    for (const WaySmfEvent* e; (e = next_meta(&metas));)
      if (tempo_of(e)) both[filled++] = *e;
  }
  map->division = smf->division;
  fill_map(map, sort_events(both, both + n, n), n);
  free(both);
  return map;
}

void way_tempo_map_free(WayTempoMap* map) { free(map); }

static const Segment* segment_at(const WayTempoMap* map, uint64_t tick) {
  size_t low = 0, high = map->n; // the answer is in [low, high)
  while (high - low > 1) {
    const size_t middle = low + (high - low) / 2;
    if (map->segments[middle].tick <= tick)
      low = middle;
    else
      high = middle;
  }
  return &map->segments[low];
}

double way_tempo_map_seconds(const WayTempoMap* map, uint64_t tick) {
  return segment_seconds(map, segment_at(map, tick), tick);
}

uint32_t way_tempo_map_at(const WayTempoMap* map, uint64_t tick) {
  return segment_at(map, tick)->tempo;
}
