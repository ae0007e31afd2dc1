#include "take/bars.h"

#include "base/midi.h"

/// Read a time signature: beats, and the power of two that is their note value.
static bool read_metre(const WaySmfEvent* e, WayMetre* out) {
  const WayText data = way_smf_meta_data(e);
  if (data.size < 2 || (uint8_t)data.at[1] > 6) return false;
  const WayMetre m = {(uint8_t)data.at[0], (uint8_t)(1u << (uint8_t)data.at[1])};
  if (!way_metre_valid(m)) return false;
  *out = m;
  return true;
}

WayStatus way_bars_start(const WaySmf* smf, uint32_t bar, WayMetre metre,
                         WayTick* out) {
  WaySmf* const signatures = way_smf_metas(smf, WAY_META_METRE);
  if (!signatures) return WAY_ERR_NO_MEMORY;
  const WaySmfTrack* const track = &signatures->tracks[0];
  WayTick start = 0; // of the bars in `metre`
  WayTick left = bar - 1;
  for (uint32_t i = 0; i < track->n; ++i) {
    const WayTick length = way_metre_bar(metre);
    const WayTick next = way_smf_music_tick(smf, track->events[i].tick);
    const WayTick bars =
        (next - start + length - 1) / length; // the last may be cut short
    if (bars > left) break;
    if (!read_metre(&track->events[i], &metre)) continue;
    left -= bars;
    start = next;
  }
  way_smf_free(signatures);
  *out = start + left * way_metre_bar(metre);
  return WAY_OK;
}

WayStatus way_metres_init(WayMetres* m, const WaySmf* smf, WayMetre metre) {
  *m = (WayMetres){smf, way_smf_metas(smf, WAY_META_METRE), 0, metre};
  return m->signatures ? WAY_OK : WAY_ERR_NO_MEMORY;
}

WayMetre way_metres_at(WayMetres* m, WayTick tick) {
  const WaySmfTrack* const t = &m->signatures->tracks[0];
  for (; m->next < t->n; ++m->next) {
    if (way_smf_music_tick(m->smf, t->events[m->next].tick) > tick) break;
    read_metre(&t->events[m->next], &m->now);
  }
  return m->now;
}

void way_metres_free(WayMetres* m) {
  way_smf_free(m->signatures);
  m->signatures = NULL;
}

WayStatus way_bars_metre(const WaySmf* smf, WayTick tick, WayMetre metre,
                         WayMetre* out) {
  WayMetres m;
  if (way_metres_init(&m, smf, metre)) return WAY_ERR_NO_MEMORY;
  *out = way_metres_at(&m, tick);
  way_metres_free(&m);
  return WAY_OK;
}
