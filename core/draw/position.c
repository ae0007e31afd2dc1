#include "draw/position.h"

#define FINGERS 4u

/// Where a pitch can be played.
enum { UNDER_FINGER = 1, BELOW = 2, ABOVE = 4 };

/// The ways to reach a pitch in a position.
static unsigned reach(const WayTuning* tuning, unsigned capo, int position, int pitch) {
  unsigned ways = 0;
  for (unsigned s = 0; s < tuning->n; ++s) {
    const int fret = pitch - tuning->open[s];
    const int from = fret - position;
    if (fret < (int)capo) continue;
    if (from >= 0 && from < (int)FINGERS) ways |= UNDER_FINGER;
    if (from == -1) ways |= fret == (int)capo ? UNDER_FINGER : BELOW;
    if (from == (int)FINGERS) ways |= ABOVE;
  }
  return ways;
}

/// What is found on the way up.
typedef struct {
  int low, high;  ///< Pitches of the set under the fingers; low > high: none
  unsigned sides; ///< Where stretches must go
  unsigned free;  ///< Stretches that can go either way
} Survey;

static Survey survey(const WayTuning* tuning, unsigned capo, WayPcSet set,
                     int position) {
  Survey s = {.low = 255, .high = -1};
  for (int pitch = 0; pitch < 256; ++pitch) {
    if (!way_pcs_has(set, way_pc(pitch))) continue;
    if (!(reach(tuning, capo, position, pitch) & UNDER_FINGER)) continue;
    if (pitch < s.low) s.low = pitch;
    s.high = pitch;
  }
  return s;
}

WayPosition way_position_at(const WayTuning* tuning, unsigned capo, WayPcSet set,
                            unsigned position) {
  WayPosition p = {.position = (uint8_t)position};
  Survey s = survey(tuning, capo, set, (int)position);
  for (int pitch = s.low; pitch <= s.high; ++pitch) {
    if (!way_pcs_has(set, way_pc(pitch))) continue;
    const unsigned ways = reach(tuning, capo, (int)position, pitch);
    if (ways & UNDER_FINGER) continue;
    if (!ways)
      ++p.gaps;
    else
      ++p.stretches;
    if (ways == (BELOW | ABOVE))
      ++s.free;
    else
      s.sides |= ways;
  }
  if (s.free && !s.sides) s.sides = BELOW;
  const bool open = position == capo + 1;
  p.low = (uint8_t)s.low;
  p.first = (uint8_t)(position - (open || s.sides & BELOW ? 1 : 0));
  p.last = (uint8_t)(position + FINGERS - (s.sides & ABOVE ? 0 : 1));
  return p;
}

static bool better(WayPosition a, WayPosition b, WayPc root) {
  if (a.gaps != b.gaps) return a.gaps < b.gaps;
  if (a.stretches != b.stretches) return a.stretches < b.stretches;
  return way_pc(a.low) == root && way_pc(b.low) != root;
}

WayPosition way_position_best(const WayTuning* tuning, unsigned capo, WayPcSet set,
                              WayPc root) {
  WayPosition best = way_position_at(tuning, capo, set, capo + 1);
  for (unsigned at = capo + 2; at <= capo + WAY_POSITIONS; ++at) {
    const WayPosition p = way_position_at(tuning, capo, set, at);
    if (better(p, best, root)) best = p;
  }
  return best;
}
