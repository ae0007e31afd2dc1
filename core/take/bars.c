#include "take/bars.h"

#define META_TIME_SIGNATURE 0x58

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
  WaySmf* const signatures = way_smf_metas(smf, META_TIME_SIGNATURE);
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

WayStatus way_bars_metre(const WaySmf* smf, WayTick tick, WayMetre metre,
                         WayMetre* out) {
  WaySmf* const signatures = way_smf_metas(smf, META_TIME_SIGNATURE);
  if (!signatures) return WAY_ERR_NO_MEMORY;
  const WaySmfTrack* const track = &signatures->tracks[0];
  for (uint32_t i = 0; i < track->n; ++i)
    if (way_smf_music_tick(smf, track->events[i].tick) <= tick)
      read_metre(&track->events[i], &metre);
  way_smf_free(signatures);
  *out = metre;
  return WAY_OK;
}
