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
  uint32_t seen[WAY_CONTROL_COUNT];      ///< Bit patterns last acted upon
  float defaults[WAY_CONTROL_COUNT];     ///< Stand in for ports without a connection
} WayControls;

/// Every port without a connection, nothing seen yet.  @par Real-time safe.
void way_controls_init(WayControls* c);
/// Connect a port; NULL for none.  @par Real-time safe.
static inline void way_controls_connect(WayControls* c, unsigned control,
                                        const float* at) {
  c->ports[control] = at ? at : &c->defaults[control];
}
/// Whether any value differs from the one acted upon.  @par Real-time safe.
static inline bool way_controls_changed(const WayControls* c) {
  uint32_t difference = 0;
  for (unsigned i = 0; i < WAY_CONTROL_COUNT; ++i) {
    uint32_t bits;
    memcpy(&bits, c->ports[i], sizeof(bits));
    difference |= bits ^ c->seen[i];
  }
  return difference != 0;
}
/// Act upon the values: numbers outside their range are held to it, NAN is the default.
/// @par Real-time safe.
void way_controls_read(WayControls* c, WaySettings* settings, WayMarkSettings* marks);

#endif
