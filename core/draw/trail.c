#include "draw/trail.h"

#include <math.h>

#define RANGE_LEAST 18 // semitones
#define RANGE_STEP 6   // the range moves by as much

WayTrailLayout way_trail_layout(const WayTrailNote* notes, uint32_t n, WayTick to,
                                WayTick length, double unit, WayBox box) {
  WayTrailLayout l = {.box = box, .from = to - length, .to = to};
  int low = 127, high = 0;
  for (uint32_t i = 0; i < n; ++i) {
    if (notes[i].end < l.from || notes[i].start > to) continue;
    if (notes[i].pitch < low) low = notes[i].pitch;
    if (notes[i].pitch > high) high = notes[i].pitch;
  }
  if (low > high) low = high = 60;
  l.low = low / RANGE_STEP * RANGE_STEP;
  l.high = (high / RANGE_STEP + 1) * RANGE_STEP;
  while (l.high - l.low < RANGE_LEAST) {
    l.high += RANGE_STEP;
    if (l.high - l.low < RANGE_LEAST) l.low -= RANGE_STEP;
  }
  l.head = 1.3 * unit;
  if (l.head > 0.4 * box.height) l.head = 0.4 * box.height;
  l.radius = 0.62 * unit;
  const double fits = 0.16 * (box.height - l.head);
  if (l.radius > fits) l.radius = fits;
  return l;
}

double way_trail_x(const WayTrailLayout* l, WayTick tick) {
  const double along = (double)(tick - l->from) / (double)(l->to - l->from);
  return round(l->box.x + along * l->box.width);
}

double way_trail_y(const WayTrailLayout* l, int pitch) {
  const double up = (pitch - l->low + 0.5) / (l->high - l->low + 1);
  return way_box_bottom(l->box) - l->radius -
         up * (l->box.height - l->head - 2 * l->radius);
}
