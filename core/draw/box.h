// Rectangles.
#ifndef WAY_DRAW_BOX_H
#define WAY_DRAW_BOX_H

#include <stdbool.h>

/// A rectangle in the surface's units, y downward.
typedef struct {
  double x, y, width, height;
} WayBox;

/// The right edge.
static inline double way_box_right(WayBox b) { return b.x + b.width; }
/// The bottom edge.
static inline double way_box_bottom(WayBox b) { return b.y + b.height; }
/// The box without a border of `by` on each side, never smaller than nothing.
static inline WayBox way_box_inset(WayBox b, double by) {
  const double x = by < b.width / 2 ? by : b.width / 2;
  const double y = by < b.height / 2 ? by : b.height / 2;
  return (WayBox){b.x + x, b.y + y, b.width - 2 * x, b.height - 2 * y};
}
/// Whether a point lies in the box.
static inline bool way_box_has(WayBox b, double x, double y) {
  return x >= b.x && x < b.x + b.width && y >= b.y && y < b.y + b.height;
}

#endif
