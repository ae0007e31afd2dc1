#include "take/smf.h"

#include "base/midi.h"
#include "take/big.h"

#include <stdlib.h>
#include <string.h>

/// Least bytes that are taken at once for events added one by one.
#define BLOCK ((size_t)1 << 16)

WaySmf* way_smf_new(uint16_t format, uint16_t division) {
  WaySmf* const smf = calloc(1, sizeof(*smf));
  if (!smf) return NULL;
  smf->format = format;
  smf->division = division;
  return smf;
}

void way_smf_free(WaySmf* smf) {
  if (!smf) return;
  for (uint32_t t = 0; t < smf->n_tracks; ++t) free(smf->tracks[t].events);
  free(smf->tracks);
  way_byte_store_clear(&smf->store);
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

WayStatus way_smf_reserve(WaySmfTrack* track, uint32_t room) {
  WaySmfEvent* const more = way_big_resize(track->events, room * sizeof(*more));
  if (!more) return WAY_ERR_NO_MEMORY;
  track->events = more;
  track->room = room;
  return WAY_OK;
}

WayStatus way_smf_push(WaySmfTrack* track, WaySmfEvent event) {
  if (track->n == track->room) {
    if (track->room > UINT32_MAX / 2) return WAY_ERR_NO_MEMORY;
    const WayStatus st = way_smf_reserve(track, track->room ? 2 * track->room : 16);
    if (st) return st;
  }
  track->events[track->n++] = event;
  track->n_metas += way_smf_meta(&event) >= 0;
  if (event.tick > track->end) track->end = event.tick;
  return WAY_OK;
}

// ---- Adding.

static bool well_formed(const uint8_t* bytes, uint32_t size) {
  if (!size || bytes[0] < 0x80) return false;
  if (bytes[0] == WAY_MIDI_META) return size >= 2 && bytes[1] < 0x80;
  if (bytes[0] >= WAY_MIDI_SYSEX)
    return bytes[0] == WAY_MIDI_SYSEX || bytes[0] == WAY_MIDI_SYSEX_MORE;
  if ((int64_t)size != 1 + way_midi_data_bytes(bytes[0])) return false;
  for (uint32_t i = 1; i < size; ++i)
    if (bytes[i] > 0x7F) return false;
  return true;
}

WayStatus way_smf_add(WaySmf* smf, uint32_t track, uint64_t tick, const uint8_t* bytes,
                      uint32_t size) {
  if (track >= smf->n_tracks || tick > WAY_SMF_TICK_MAX ||
      size > WAY_SMF_QUANTITY_MAX || !well_formed(bytes, size))
    return WAY_ERR_RANGE;
  WaySmfTrack* const t = &smf->tracks[track];
  if (bytes[0] == WAY_MIDI_META && bytes[1] == WAY_META_END) {
    if (tick > t->end) t->end = tick;
    return WAY_OK;
  }
  uint8_t* const copy = way_byte_store_take(&smf->store, size, BLOCK);
  if (!copy) return WAY_ERR_NO_MEMORY;
  memcpy(copy, bytes, size);
  return way_smf_push(t, (WaySmfEvent){tick, size, 0, copy});
}

WayStatus way_smf_add_text(WaySmf* smf, uint32_t track, uint64_t tick, uint8_t type,
                           const char* text) {
  const size_t n = strlen(text);
  if (type < WAY_META_TEXT || type > WAY_META_TEXT_LAST || n > WAY_SMF_QUANTITY_MAX - 2)
    return WAY_ERR_RANGE;
  uint8_t* const bytes = malloc(n + 2);
  if (!bytes) return WAY_ERR_NO_MEMORY;
  bytes[0] = WAY_MIDI_META;
  bytes[1] = type;
  memcpy(bytes + 2, text, n);
  const WayStatus st = way_smf_add(smf, track, tick, bytes, (uint32_t)n + 2);
  free(bytes);
  return st;
}

WayStatus way_smf_add_tempo(WaySmf* smf, uint32_t track, uint64_t tick, double tempo) {
  const uint32_t us = (uint32_t)(60e6 / tempo + 0.5);
  const uint8_t bytes[] = {WAY_MIDI_META, WAY_META_TEMPO, (uint8_t)(us >> 16),
                           (uint8_t)(us >> 8), (uint8_t)us};
  return way_smf_add(smf, track, tick, bytes, sizeof(bytes));
}

WayStatus way_smf_add_metre(WaySmf* smf, uint32_t track, uint64_t tick,
                            WayMetre metre) {
  uint8_t power = 0;
  while (1u << power < metre.unit) ++power;
  // 24 MIDI clocks and eight 32nds a quarter note.
  const uint8_t bytes[] = {WAY_MIDI_META, WAY_META_METRE,          metre.beats,
                           power,         (uint8_t)(96u >> power), 8};
  return way_smf_add(smf, track, tick, bytes, sizeof(bytes));
}

bool way_smf_is_sorted(const WaySmfTrack* t) {
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

WaySmfEvent* way_smf_sorted(const WaySmfTrack* t) {
  // One half is sorted into the other, and back.
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
    if (!t->events || way_smf_is_sorted(t)) continue;
    WaySmfEvent* const sorted = way_smf_sorted(t);
    if (!sorted) return WAY_ERR_NO_MEMORY;
    memcpy(t->events, sorted, t->n * sizeof(*sorted));
    free(sorted);
  }
  return WAY_OK;
}

// ---- Asking.

int way_smf_meta(const WaySmfEvent* e) {
  return e->bytes[0] == WAY_MIDI_META ? e->bytes[1] : -1;
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
    if (way_smf_meta(e) == WAY_META_NAME) return way_smf_meta_data(e);
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
