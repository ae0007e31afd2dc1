// Where the results of the live guide go.
#ifndef WAY_LIVE_SINK_H
#define WAY_LIVE_SINK_H

#include "live/mark.h"

/// Where results go.  Both functions are called on the caller's thread, before the
/// function that was handed the sink returns, in order of time.
typedef struct {
  void* to; ///< Handed to both functions
  /// One MIDI message; false if there is no room for it (what must not be lost,
  /// note-offs, is then sent again later).
  bool (*midi)(void* to, int64_t frame, const uint8_t* bytes, uint32_t size);
  /// One mark; NULL if nobody wants marks.
  void (*mark)(void* to, const WayMark* mark);
} WaySink;

#endif
