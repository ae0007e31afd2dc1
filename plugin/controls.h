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
} WayMarkSettings;

/// The control ports of an instance.
typedef struct {
  const float* ports[WAY_CONTROL_COUNT]; ///< Never NULL
  const float* block; ///< All ports, if they lie side by side in order; else NULL
  uint32_t seen[WAY_CONTROL_COUNT];  ///< Bit patterns last acted upon
  float defaults[WAY_CONTROL_COUNT]; ///< Stand in for ports without a connection
} WayControls;

/// Every port without a connection, nothing seen yet.  @par Real-time safe.
void way_controls_init(WayControls* c);
/// Connect a port; NULL for none.  @par Real-time safe.
void way_controls_connect(WayControls* c, unsigned control, const float* at);
/// The bits in which `seen` and values that lie side by side differ.
static inline uint64_t way_controls_compare(const float* block, const uint32_t* seen) {
  uint64_t difference = 0;
  unsigned i = 0;
  for (; i + 2 <= WAY_CONTROL_COUNT; i += 2) {
    uint64_t value, before;
    memcpy(&value, block + i, sizeof(value));
    memcpy(&before, seen + i, sizeof(before));
    difference |= value ^ before;
  }
  for (; i < WAY_CONTROL_COUNT; ++i) {
    uint32_t value;
    memcpy(&value, block + i, sizeof(value));
    difference |= value ^ seen[i];
  }
  return difference;
}
/// Whether any value differs from the one acted upon.  @par Real-time safe.
static inline bool way_controls_changed(const WayControls* c) {
  if (c->block) return way_controls_compare(c->block, c->seen) != 0;
  uint32_t difference = 0;
  for (unsigned i = 0; i < WAY_CONTROL_COUNT; ++i) {
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
