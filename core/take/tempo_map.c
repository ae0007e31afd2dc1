#include "take/tempo_map.h"

#include "base/midi.h"

#include <stdlib.h>

/// 120 quarter notes a minute until a file sets its own (RP-001).
#define TEMPO_AT_FIRST 500000u

/// From one tempo to the next.
typedef struct {
  uint64_t tick; // where it begins
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
  const uint8_t* const us = e->bytes + 2; // behind FF 51
  return e->size == 5 ? (uint32_t)us[0] << 16 | (uint32_t)us[1] << 8 | us[2] : 0;
}

static double segment_seconds(const WayTempoMap* map, const Segment* s, uint64_t tick) {
  return s->seconds + (double)(tick - s->tick) * s->tempo / (map->division * 1e6);
}

/// Lay the tempos end to end; of several on one tick the last is found.
static void fill(WayTempoMap* map, const WaySmfTrack* tempos) {
  map->segments[0] = (Segment){0, 0, TEMPO_AT_FIRST};
  map->n = 1;
  for (uint32_t i = 0; i < tempos->n; ++i) {
    const WaySmfEvent* const e = &tempos->events[i];
    if (!tempo_of(e)) continue;
    const double seconds = segment_seconds(map, &map->segments[map->n - 1], e->tick);
    map->segments[map->n++] = (Segment){e->tick, seconds, tempo_of(e)};
  }
}

WayTempoMap* way_tempo_map_new(const WaySmf* smf) {
  WaySmf* const tempos = way_smf_metas(smf, WAY_META_TEMPO);
  if (!tempos) return NULL;
  const size_t n = tempos->tracks[0].n;
  WayTempoMap* const map = malloc(sizeof(*map) + (n + 1) * sizeof(Segment));
  if (map) {
    map->division = smf->division;
    fill(map, &tempos->tracks[0]);
  }
  way_smf_free(tempos);
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
