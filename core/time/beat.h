// Musical time.  Places are whole ticks, so that equal places compare equal however
// they were reached.
#ifndef WAY_TIME_BEAT_H
#define WAY_TIME_BEAT_H

#include "base/attributes.h"

#include <stdbool.h>
#include <stdint.h>

/// A place or length: ticks of 1/#WAY_TICKS_PER_QUARTER of a quarter note.
typedef int64_t WayTick;

/// Divides every common MIDI file resolution and triplets down to 1/64.
#define WAY_TICKS_PER_QUARTER 3840

/// A metre.  A *beat* everywhere in this program is the metre's written unit, as in the
/// LV2 time extension: an eighth note in 6/8.
typedef struct {
  uint8_t beats; ///< Beats in a bar, 1..64
  uint8_t unit;  ///< Note value of a beat: 1, 2, 4, 8, 16, 32 or 64
} WayMetre;

/// Whether both numbers are in range.  @par Real-time safe.
static inline bool way_metre_valid(WayMetre m) {
  return m.beats >= 1 && m.beats <= 64 && m.unit >= 1 && m.unit <= 64 &&
         !(m.unit & (m.unit - 1));
}
/// Whether two metres are the same.  @par Real-time safe.
static inline bool way_metre_equal(WayMetre a, WayMetre b) {
  return a.beats == b.beats && a.unit == b.unit;
}
/// Ticks in a beat of a valid metre.  @par Real-time safe.
static inline WayTick way_metre_beat(WayMetre m) {
  return 4 * WAY_TICKS_PER_QUARTER / m.unit;
}
/// Ticks in a bar of a valid metre.  @par Real-time safe.
static inline WayTick way_metre_bar(WayMetre m) { return m.beats * way_metre_beat(m); }
/// Beats of a group as one hears them: three where eighth notes or finer make a
/// compound metre (6/8, 9/8, 12/8), else one.  Groups begin with the bar.  Common
/// practice, no source.  @par Real-time safe.
static inline unsigned way_metre_group(WayMetre m) {
  return m.unit >= 8 && m.beats > 3 && m.beats % 3 == 0 ? 3 : 1;
}
/// Whether a beat of a bar, from 0, is a strong one: the first, or the middle of an
/// even number of at least four.  @par Real-time safe.
static inline bool way_metre_strong(WayMetre m, unsigned beat) {
  return !beat || (m.beats >= 4 && 2 * beat == m.beats);
}

#endif
