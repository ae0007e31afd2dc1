#include "live/handle.h"

#include "live/ledger.h"
#include "live/snap.h"

static uint8_t snapped(const WaySettings* s, WayPcSet set, uint8_t pitch,
                       uint8_t from) {
  const uint8_t to = way_snap_pitch(pitch, set, s->snap, from);
  const int distance = to > pitch ? to - pitch : pitch - to;
  return distance <= s->max_distance ? to : pitch;
}

uint8_t way_handle_note(const WaySettings* s, const WayHarmony* h, uint8_t pitch,
                        uint8_t from, uint8_t* velocity) {
  const WayPcSet set = h->material[s->material];
  if (way_pcs_has(set, way_pc(pitch))) return pitch;
  switch (s->handling) {
  case WAY_HANDLING_FILTER: return WAY_UNHELD;
  case WAY_HANDLING_SNAP: return snapped(s, set, pitch, from);
  case WAY_HANDLING_SOFTEN: {
    const unsigned soft = (*velocity * s->soften_to + 50u) / 100u;
    *velocity = (uint8_t)(soft ? soft : 1);
    return pitch;
  }
  case WAY_HANDLING_TAG:
  case WAY_HANDLING_COUNT: break;
  }
  return pitch;
}
