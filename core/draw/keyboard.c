#include "draw/keyboard.h"

#include "theory/pitch.h"

#define RAISED_WIDTH 0.62 // of a natural's
#define RAISED_DEPTH 0.62
#define RAISED 0x54Au // C# D# F# G# A#

WayKeyboard way_keyboard_default(void) { return (WayKeyboard){48, 79}; }

bool way_keyboard_raised(int pitch) { return way_pcs_has(RAISED, way_pc(pitch)); }

WayKeyboard way_keyboard_clamped(WayKeyboard b) {
  if (b.high > 127) b.high = 127;
  if (b.low > 127 - 12) b.low = 127 - 12;
  if (b.high < b.low + 12) b.high = (uint8_t)(b.low + 12);
  if (way_keyboard_raised(b.low)) --b.low; // 0 and 127 are naturals
  if (way_keyboard_raised(b.high)) ++b.high;
  return b;
}

/// Naturals below a pitch, from C-1 up.
static int naturals_below(int pitch) {
  static const int below[12] = {0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6};
  return 7 * (pitch / 12) + below[pitch % 12];
}

WayKeyLayout way_key_layout(WayKeyboard board, WayBox box) {
  WayKeyLayout l = {.board = way_keyboard_clamped(board), .box = box};
  const int n = naturals_below(l.board.high) - naturals_below(l.board.low) + 1;
  l.key = box.width / n;
  l.depth = RAISED_DEPTH * box.height;
  const double across = 0.42 * l.key, along = 0.16 * box.height;
  l.radius = across < along ? across : along;
  return l;
}

WayBox way_key_box(const WayKeyLayout* l, int pitch) {
  const double left =
      l->box.x + (naturals_below(pitch) - naturals_below(l->board.low)) * l->key;
  if (!way_keyboard_raised(pitch))
    return (WayBox){left, l->box.y, l->key, l->box.height};
  const double width = RAISED_WIDTH * l->key;
  return (WayBox){left - width / 2, l->box.y, width, l->depth};
}

void way_key_sign(const WayKeyLayout* l, int pitch, double* x, double* y) {
  const WayBox b = way_key_box(l, pitch);
  *x = b.x + b.width / 2;
  *y = way_box_bottom(b) - 1.25 * l->radius;
}
