#include "live/handle.h"

#include "live/ledger.h"
#include "live/snap.h"

uint8_t way_handle_pitch(const WaySettings* s, const WayHarmony* h, uint8_t pitch,
                         uint8_t from) {
  if (s->handling == WAY_HANDLING_TAG) return pitch;
  const WayPcSet set = h->material[s->material];
  if (way_pcs_has(set, way_pc(pitch))) return pitch;
  if (s->handling == WAY_HANDLING_FILTER) return WAY_UNHELD;
  return way_snap_pitch(pitch, set, s->snap, from);
}
