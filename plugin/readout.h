// Output controls: the answer on a host's plain screen.
#ifndef WAY_PLUGIN_READOUT_H
#define WAY_PLUGIN_READOUT_H

#include "live/engine.h"
#include "ports.h"

/// The output controls of an instance.
typedef struct {
  float* ports[WAY_READOUT_COUNT];  ///< Never NULL
  float nowhere[WAY_READOUT_COUNT]; ///< Stands in for ports without a connection
  int64_t stale;                    ///< Frame from which what is shown does not hold
  double change_frame;              ///< When the next change comes, if `counting`
  double beats_per_frame;
  bool counting;   ///< The beats to the change run down
  bool has_news;   ///< Role, interval or landing are not written yet
  int8_t role;     ///< Of the newest note with a role, or -1
  int8_t interval; ///< Likewise
  int8_t landing;  ///< The newest landing, or -1
} WayReadout;

/// Every port without a connection, nothing known.  @par Real-time safe.
void way_readout_init(WayReadout* r);
/// Connect a port; NULL for none.  @par Real-time safe.
void way_readout_connect(WayReadout* r, unsigned readout, float* at);
/// Harmony or place changed: work out everything at the end of the block.
static inline void way_readout_touch(WayReadout* r) { r->stale = INT64_MIN; }
/// A note has this role.
static inline void way_readout_role(WayReadout* r, const WayRoleOf* role) {
  r->role = (int8_t)role->role;
  r->interval = (int8_t)role->interval;
  r->has_news = true;
}
/// Take in what a mark says.
static inline void way_readout_mark(WayReadout* r, const WayMark* mark) {
  switch (mark->kind) {
  case WAY_MARK_CHANGE: way_readout_touch(r); break;
  case WAY_MARK_LANDING: r->landing = (int8_t)mark->landing; break;
  case WAY_MARK_ROLE: way_readout_role(r, &mark->role); break;
  default: break;
  }
  r->has_news = true;
}
/// Forget the newest note.  @par Real-time safe.
void way_readout_forget(WayReadout* r);
/// Work out and write all values for `frame`.  @par Real-time safe: O(log n).
void way_readout_renew(WayReadout* r, const WayEngine* e, const WayTimeline* t,
                       const WayClock* clock, int64_t frame);
/// Show whether tags are refused.  @par Real-time safe.
static inline void way_readout_tags(const WayReadout* r, bool refused) {
  *r->ports[WAY_READOUT_TAGS_REFUSED] = refused;
}
/// Write role, interval and landing.  @par Real-time safe.
void way_readout_write_note(WayReadout* r);
/// Write the beats to the change at `frame`, if nothing else changed.
static inline void way_readout_count(const WayReadout* r, int64_t frame) {
  if (r->counting)
    *r->ports[WAY_READOUT_BEATS_TO_CHANGE] =
        (float)((r->change_frame - (double)frame) * r->beats_per_frame);
}
/// Whether more than the beats that run down is new at `frame`.  @par Real-time safe.
static inline bool way_readout_waits(const WayReadout* r, int64_t frame) {
  return frame >= r->stale || r->has_news;
}
/// Bring the ports up to date for `frame`, the last of a block.  @par Real-time safe.
static inline void way_readout_update(WayReadout* r, const WayEngine* e,
                                      const WayTimeline* t, const WayClock* clock,
                                      int64_t frame) {
  if (frame >= r->stale)
    way_readout_renew(r, e, t, clock, frame);
  else
    way_readout_count(r, frame);
  if (r->has_news) way_readout_write_note(r);
}

#endif
