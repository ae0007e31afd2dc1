#include "time/clock.h"

#include <math.h>
#include <stddef.h>

/// `to - from`, which need not fit an int64_t.
static double distance(int64_t from, int64_t to) {
  return to >= from ? (double)((uint64_t)to - (uint64_t)from)
                    : -(double)((uint64_t)from - (uint64_t)to);
}

static bool rolls(const WayClock* c) {
  return c->ticks_per_frame > 0 && isfinite(c->ticks_per_frame);
}

// Each step below keeps order when rounded, so the whole never falls as frames rise:
// way_clock_frame() counts on that.
double way_clock_exact(const WayClock* c, int64_t frame) {
  const double anchor = isnan(c->tick) ? 0 : c->tick;
  if (!rolls(c) || isinf(anchor)) return anchor;
  return anchor + distance(c->frame, frame) * c->ticks_per_frame;
}

WayTick way_clock_tick(const WayClock* c, int64_t frame) {
  const double exact = way_clock_exact(c, frame);
  if (exact >= (double)WAY_TICK_FAR) return WAY_TICK_FAR;
  if (exact <= -(double)WAY_TICK_FAR) return -WAY_TICK_FAR;
  return (WayTick)round(exact);
}

/// `frame + step`, held inside the range.
static int64_t moved(int64_t frame, int64_t step) {
  if (step > 0 && frame > INT64_MAX - step) return INT64_MAX;
  if (step < 0 && frame < INT64_MIN - step) return INT64_MIN;
  return frame + step;
}

/// Where the line crosses half a tick before `tick`: at most a frame or two off for
/// sensible clocks, anything for absurd ones.
static int64_t guess(const WayClock* c, WayTick tick) {
  const double frames = ((double)tick - 0.5 - c->tick) / c->ticks_per_frame;
  if (isnan(frames)) return c->frame;
  if (frames >= (double)WAY_TICK_FAR) return moved(c->frame, WAY_TICK_FAR);
  if (frames <= -(double)WAY_TICK_FAR) return moved(c->frame, -WAY_TICK_FAR);
  return moved(c->frame, (int64_t)frames);
}

/// Make `probe` one of the two ends.
static void narrow(const WayClock* c, WayTick tick, int64_t probe, int64_t* before,
                   int64_t* at) {
  int64_t* const end = way_clock_tick(c, probe) < tick ? before : at;
  *end = probe;
}

int64_t way_clock_frame(const WayClock* c, WayTick tick) {
  if (way_clock_tick(c, INT64_MIN) >= tick) return INT64_MIN;
  if (way_clock_tick(c, INT64_MAX) < tick) return INT64_MAX;
  // Keep tick(before) < tick <= tick(at), and halve; the guess leaves 4 frames to halve
  // where the arithmetic is fine enough.
  int64_t before = INT64_MIN, at = INT64_MAX;
  const int64_t middle = guess(c, tick);
  const int64_t probes[] = {moved(middle, -2), moved(middle, 2)};
  for (size_t i = 0; i < WAY_COUNT(probes); ++i)
    narrow(c, tick, probes[i], &before, &at);
  while ((uint64_t)at - (uint64_t)before > 1) {
    const uint64_t half = ((uint64_t)at - (uint64_t)before) / 2;
    narrow(c, tick, before + (int64_t)half, &before, &at);
  }
  return at;
}
