// Control ports: what the player sets, read at next to no cost while nothing moves.
#ifndef WAY_PLUGIN_CONTROLS_H
#define WAY_PLUGIN_CONTROLS_H

#include "live/settings.h"
#include "ports.h"

#include <string.h>

/// What the plug-in itself needs to know besides the engine's settings.
typedef struct {
  uint8_t mark_channel; ///< 0..15
  bool marks_on_out;    ///< Lane notes go to the first output too
  bool marks_as_text;   ///< Behind each mark come its words
} WayMarkSettings;

// Ports of controls lie in three stretches, with readouts between them.

/// Controls of the first stretch.
#define WAY_CONTROL_FIRST (WAY_PORT_CHORD_ROOT - WAY_PORT_ENABLED)
/// Controls of the first two; the others stand each for itself.
#define WAY_CONTROL_SECOND                                                             \
  (WAY_CONTROL_FIRST + WAY_PORT_TAGS_REFUSED - WAY_PORT_MAX_DISTANCE)

/// The control ports of an instance.
typedef struct {
  const float* ports[WAY_CONTROL_COUNT]; ///< Never NULL
  const float* first;                    ///< The first stretch, if it lies side by side
  const float* second; ///< The second, likewise; either NULL: at least one does not
  uint32_t seen[WAY_CONTROL_COUNT];    ///< Bit patterns last acted upon
  float defaults[WAY_CONTROL_COUNT];   ///< Stand in for ports without a connection
  uint8_t settings[WAY_CONTROL_COUNT]; ///< A #WaySetting; its count for our own
} WayControls;

/// Every port without a connection, nothing seen yet.  @par Real-time safe.
void way_controls_init(WayControls* c);
/// Connect a port; NULL for none.  @par Real-time safe.
void way_controls_connect(WayControls* c, unsigned control, const float* at);
/// Four values at once, wherever they lie.
typedef uint32_t WayFourBits __attribute__((vector_size(16), aligned(4), may_alias));
/// The bits in which `n` >= 4 values that lie side by side differ from `seen`.
static inline WayFourBits way_controls_compare(const float* block, const uint32_t* seen,
                                               unsigned n) {
  WayFourBits difference = {0};
  WAY_UNROLL for (unsigned i = 0; i < n; i += 4) {
    const unsigned at = i + 4 <= n ? i : n - 4; // the last four may overlap
    difference |= *(const WayFourBits*)(const void*)(block + at) ^
                  *(const WayFourBits*)(const void*)(seen + at);
  }
  return difference;
}
/// Whether any value differs from the one acted upon.  @par Real-time safe.
static inline bool way_controls_changed(const WayControls* c) {
  uint32_t difference = 0;
  unsigned i = 0;
  if (c->first && c->second) {
    const WayFourBits d = way_controls_compare(c->first, c->seen, WAY_CONTROL_FIRST) |
                          way_controls_compare(c->second, c->seen + WAY_CONTROL_FIRST,
                                               WAY_CONTROL_SECOND - WAY_CONTROL_FIRST);
    difference = d[0] | d[1] | d[2] | d[3];
    i = WAY_CONTROL_SECOND;
  }
  for (; i < WAY_CONTROL_COUNT; ++i) {
    uint32_t value;
    memcpy(&value, c->ports[i], sizeof(value));
    difference |= value ^ c->seen[i];
  }
  return difference != 0;
}
/// Act upon the values: numbers outside their range are held to it, NAN is the default.
/// @par Real-time safe.
void way_controls_read(WayControls* c, WaySettings* settings, WayMarkSettings* marks);

#endif
