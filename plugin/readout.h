// Output controls: the answer on a host's plain screen.
#ifndef WAY_PLUGIN_READOUT_H
#define WAY_PLUGIN_READOUT_H

#include "live/engine.h"
#include "ports.h"

/// The output controls of an instance.
typedef struct {
  float* ports[WAY_READOUT_COUNT];  ///< Never NULL
  float shown[WAY_READOUT_COUNT];   ///< Values last written
  float nowhere[WAY_READOUT_COUNT]; ///< Stands in for ports without a connection
  int64_t stale;                    ///< Frame from which `shown` does not hold any more
  double change_frame;              ///< When the next change comes, if `counting`
  double beats_per_frame;
  bool counting;  ///< The beats to the change run down
  int8_t landing; ///< The newest landing, or -1
} WayReadout;

/// Every port without a connection, nothing known.  @par Real-time safe.
void way_readout_init(WayReadout* r);
/// Connect a port; NULL for none.  @par Real-time safe.
void way_readout_connect(WayReadout* r, unsigned readout, float* at);
/// Something happened: work out everything at the end of the block.
static inline void way_readout_touch(WayReadout* r) { r->stale = INT64_MIN; }
/// Work out and write all values for `frame`.  @par Real-time safe: O(log n).
void way_readout_renew(WayReadout* r, const WayEngine* e, const WayTimeline* t,
                       const WayClock* clock, int64_t frame);
/// Bring the ports up to date for `frame`, the end of a block.  @par Real-time safe.
static inline void way_readout_update(WayReadout* r, const WayEngine* e,
                                      const WayTimeline* t, const WayClock* clock,
                                      int64_t frame) {
  if (frame >= r->stale)
    way_readout_renew(r, e, t, clock, frame);
  else if (r->counting)
    *r->ports[WAY_READOUT_BEATS_TO_CHANGE] =
        (float)((r->change_frame - (double)frame) * r->beats_per_frame);
}

#endif
