#include "live/snap.h"

/// Steps from `pitch` to the first note of `set` in direction `step` (1 or -1); 0 if
/// MIDI has none on that side.
static int steps(int pitch, WayPcSet set, int step) {
  for (int n = 1; n < 12; ++n) {
    const int moved = pitch + n * step;
    if (moved < 0 || moved > 127) return 0;
    if (way_pcs_has(set, way_pc(moved))) return n;
  }
  return 0;
}

static bool goes_up(int up, int down, WaySnap how, bool line_rises) {
  if (!up || !down) return up > 0;
  if (how != WAY_SNAP_NEAREST) return how == WAY_SNAP_UP;
  return up < down || (up == down && line_rises);
}

uint8_t way_snap_pitch(uint8_t pitch, WayPcSet set, WaySnap how, uint8_t from) {
  if (way_pcs_has(set, way_pc(pitch))) return pitch;
  const int up = steps(pitch, set, 1), down = steps(pitch, set, -1);
  const int move = goes_up(up, down, how, from < pitch) ? up : -down;
  return (uint8_t)(pitch + move);
}
