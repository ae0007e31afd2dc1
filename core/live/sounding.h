// A note that begins or rings on over a chord, and the marks that tell of it.
#ifndef WAY_LIVE_SOUNDING_H
#define WAY_LIVE_SOUNDING_H

#include "live/ledger.h"
#include "live/mark.h"
#include "theory/harmony.h"

/// A note over a chord.
typedef struct {
  WayKeyIndex note;      ///< As sent
  uint8_t pitch;         ///< As it sounds
  bool again;            ///< It began before, as another
  bool early;            ///< It belongs to the next chord
  bool held_over;        ///< It began before the chord
  const WayRoleOf* role; ///< Over the chord, in whose harmony it lies
} WaySounding;

/// A note over a chord, with nothing special about it.  @par Real-time safe.
static inline WaySounding way_sounding(const WayHarmony* h, WayKeyIndex note,
                                       uint8_t pitch) {
  return (WaySounding){.note = note, .pitch = pitch, .role = &h->roles[pitch % 12u]};
}
/// The mark of a note over a chord.  @par Real-time safe.
static inline WayMark way_sounding_mark(const WaySounding* s, const WayHarmony* h,
                                        int64_t frame, WayMarkKind kind) {
  return (WayMark){.frame = frame,
                   .chord = &h->chord,
                   .kind = (uint8_t)kind,
                   .pitch = s->pitch,
                   .again = s->again,
                   .early = s->early,
                   .role = *s->role};
}
/// How a note lands on its chord.  @param target The tone planned; number 0 if there is
/// none.  @par Real-time safe.
static inline WayLanding way_sounding_landing(const WaySounding* s, WayDegree target) {
  if (target.number && way_degree_pc(target) == s->role->interval)
    return WAY_LANDING_TARGET;
  return s->role->role == WAY_ROLE_CHORD ? WAY_LANDING_CHORD_TONE : WAY_LANDING_OTHER;
}
/// The mark of a landing, without its place in the music.  @param target As above.
/// @par Real-time safe.
static inline WayMark way_sounding_landing_mark(const WaySounding* s,
                                                const WayHarmony* h, int64_t frame,
                                                WayDegree target) {
  WayMark m = way_sounding_mark(s, h, frame, WAY_MARK_LANDING);
  m.landing = (uint8_t)way_sounding_landing(s, target);
  m.held_over = s->held_over;
  m.again = false; // of its chord it is the first
  return m;
}

#endif
