// A keyboard: where each key is in the picture.  Pure geometry.
#ifndef WAY_DRAW_KEYBOARD_H
#define WAY_DRAW_KEYBOARD_H

#include "draw/box.h"

#include <stdint.h>

/// The part of a keyboard that is shown, MIDI notes.  It is widened to whole naturals.
typedef struct {
  uint8_t low, high;
} WayKeyboard;

/// Two octaves and a fifth around middle C: C3 to G5.
WayKeyboard way_keyboard_default(void);
/// Low and high in order, at least an octave apart, and both naturals.
WayKeyboard way_keyboard_clamped(WayKeyboard board);
/// Whether a pitch is one of the raised keys.
bool way_keyboard_raised(int pitch);

/// Where everything stands.
typedef struct {
  WayKeyboard board; ///< Clamped
  WayBox box;        ///< All keys
  double key;        ///< Width of a natural key
  double depth;      ///< Length of a raised key
  double radius;     ///< Of a sign
} WayKeyLayout;

/// Lay out a keyboard in a box.
WayKeyLayout way_key_layout(WayKeyboard board, WayBox box);
/// The box of a key, `low`..`high`.
WayBox way_key_box(const WayKeyLayout* l, int pitch);
/// Where the sign of a key stands: near its front edge.
void way_key_sign(const WayKeyLayout* l, int pitch, double* x, double* y);

#endif
