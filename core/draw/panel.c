#include "draw/panel.h"

#include <math.h>

#define COUNT_WIDTH 0.38 // of the panel, for the beats left
#define KNOTS_MOST 16.0

static double least(double a, double b) { return a < b ? a : b; }

/// In parts of the height, so that all panels share their lines.
static WayChordPanel panel(WayBox box, double symbol, double room) {
  const double h = least(box.height, 0.62 * box.width);
  return (WayChordPanel){
      .box = box,
      .symbol = symbol * h,
      .symbol_y = box.y + 0.29 * box.height,
      .room = room,
      .tone = 0.15 * h,
      .tone_y = box.y + 0.735 * box.height,
      .degree = 0.1 * h,
      .degree_y = box.y + 0.915 * box.height,
  };
}

WayChordPanel way_panel_now(WayBox box) { return panel(box, 0.56, box.width); }

WayChordPanel way_panel_next(WayBox box) {
  return panel(box, 0.36, box.width * (1 - COUNT_WIDTH));
}

double way_panel_tone_x(const WayChordPanel* p, unsigned i, unsigned n, double* width) {
  *width = least(2.3 * p->tone, (p->box.width - p->degree) / (n ? n : 1));
  return p->box.x + p->degree + i * *width;
}

/// Beats from knot `i` to the change.  Where not all have one, groups have.
static double beats_before(const WayPanelWay* w, unsigned i) {
  const unsigned into = w->apart > 1 ? w->pulse.into : 0;
  return i ? i * w->apart - (into ? w->apart - into : 0) : 0;
}

double way_panel_knot(const WayPanelWay* w, unsigned i, bool* heavy) {
  *heavy = w->apart > 1 || i % w->pulse.group == w->pulse.into;
  return w->to - beats_before(w, i) * w->beat;
}

WayPanelWay way_panel_way(const WayChordPanel* next, double until, double lasts,
                          WayPanelPulse pulse) {
  if (!pulse.group) pulse.group = 1;
  WayPanelWay w = {.y = next->box.y + 0.535 * next->box.height,
                   .from = next->box.x + 0.26 * next->tone,
                   .to = way_box_right(next->box) - 0.5 * next->tone,
                   .apart = 1,
                   .weight = 0.34 * next->tone,
                   .pulse = pulse};
  const double left = lasts > 0 ? least(until / lasts, 1) : 0;
  w.at = round(w.to - left * (w.to - w.from));
  if (!(lasts > 0)) return w;
  const double share = lasts / KNOTS_MOST;
  if (share > 1) w.apart = pulse.group * ceil(share / pulse.group);
  w.beat = (w.to - w.from) / lasts;
  while (beats_before(&w, w.knots + 1) <= lasts + 1e-6) ++w.knots;
  return w;
}
