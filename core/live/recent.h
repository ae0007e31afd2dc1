// Notes that began a little while ago, in case the chord they belong to is heard late.
#ifndef WAY_LIVE_RECENT_H
#define WAY_LIVE_RECENT_H

#include "live/ledger.h"

/// How many are kept.
#define WAY_RECENT 16u

/// One of them.
typedef struct {
  int64_t frame;    ///< When it began; INT64_MIN if there is none
  WayKeyIndex note; ///< As sent
  uint8_t pitch;    ///< As it sounded
} WayRecentNote;

/// The newest #WAY_RECENT.  No pointers.
typedef struct {
  WayRecentNote notes[WAY_RECENT]; ///< In a circle
  unsigned next;                   ///< Place of the oldest
} WayRecent;

/// None is known.  @par Real-time safe.
WAY_RT void way_recent_init(WayRecent* r);
/// A note has begun, none of the others after it; the oldest is forgotten.
/// @par Real-time safe.
WAY_RT void way_recent_add(WayRecent* r, WayRecentNote note);
/// Note `i` (0..#WAY_RECENT-1), from the oldest on; its frame is INT64_MIN if there is
/// none.  @par Real-time safe.
static inline const WayRecentNote* way_recent_at(const WayRecent* r, unsigned i) {
  return &r->notes[(r->next + i) % WAY_RECENT];
}

#endif
