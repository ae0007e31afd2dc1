#include "chart/chart_key.h"

#include "chart/chart_walk.h"

#include <stdlib.h>

/// Collects the chords of the form in order.
typedef struct {
  const WayChart* chart;
  WayHeardChord* chords;
  uint32_t n;
} Heard;

static bool hear_bar(void* to, uint32_t section, uint32_t bar) {
  Heard* const h = to;
  WayTick starts[WAY_CHART_SHARES_MAX + 1];
  const WayChartBar* const b =
      way_chart_bar_starts(h->chart, bar, h->chart->sections[section].metre, starts);
  for (uint32_t i = 0; i < b->n_slots; ++i)
    h->chords[h->n++] =
        (WayHeardChord){h->chart->slots[b->first_slot + i].chord,
                        (float)(starts[i + 1] - starts[i]) / WAY_TICKS_PER_QUARTER};
  return true;
}

/// All chords of the form, in a new array to be freed.
static WayStatus hear(const WayChart* chart, Heard* out) {
  WayChartSize size;
  const WayStatus st = way_chart_size(chart, &size);
  if (st) return st;
  Heard h = {chart, malloc(size.chords * sizeof(*h.chords)), 0};
  if (!h.chords) return WAY_ERR_NO_MEMORY;
  way_chart_walk(chart, hear_bar, &h);
  *out = h;
  return WAY_OK;
}

WayStatus way_chart_key_find(const WayChart* chart, WayKeyFinding* out) {
  Heard h;
  const WayStatus st = hear(chart, &h);
  if (st) return st;
  *out = way_key_find(h.chords, h.n);
  free(h.chords);
  return WAY_OK;
}

WayStatus way_chart_key_parts(const WayChart* chart, WayKey** keys) {
  Heard h;
  const WayStatus st = hear(chart, &h);
  if (st) return st;
  WayKey* const found = malloc(h.n * sizeof(*found));
  uint8_t* const work = malloc(WAY_KEY_PARTS_WORK(h.n));
  const bool room = found && work;
  if (room) way_key_parts(h.chords, h.n, chart->key, work, found);
  free(work);
  free(h.chords);
  if (room)
    *keys = found;
  else
    free(found);
  return room ? WAY_OK : WAY_ERR_NO_MEMORY;
}
