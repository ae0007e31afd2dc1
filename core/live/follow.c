#include "live/follow.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/// How far a new line may start from the old one and still be no jump: a 64th note.
#define CORRECTION ((double)WAY_TICKS_PER_QUARTER / 16)
/// Fastest line: a quarter note a frame would be several million beats a minute.
#define FASTEST ((double)WAY_TICKS_PER_QUARTER)

/// Slowest line by which times are counted, in ticks a second: a quarter note a minute.
#define SLOWEST ((double)WAY_TICKS_PER_QUARTER / 60)

/// The frame at which `tick` is due: never before the line in use began.
static int64_t frame_of(const WayFollow* f, WayTick tick) {
  if (tick == INT64_MAX || !way_follow_rolls(f)) return INT64_MAX;
  const int64_t frame = way_clock_frame(&f->clock, tick);
  return frame > f->clock.frame ? frame : f->clock.frame;
}

/// Work out the frames of everything due.
static void schedule(WayFollow* f) {
  const int64_t change = frame_of(f, f->change), top = frame_of(f, f->top);
  f->due = change < top ? change : top;
  f->early_frame = f->early ? frame_of(f, f->change - f->early) : INT64_MAX;
}

/// The early window in ticks, in the beats of the bar before the change.
static WayTick early_ticks(const WayFollow* f) {
  if (!(f->early_beats > 0) || f->change == INT64_MAX) return 0;
  const WayPlace before = way_timeline_at(f->timeline, f->change - 1);
  const WayTick beat = way_metre_beat(f->timeline->bars[before.bar].metre);
  return (WayTick)(f->early_beats * (double)beat + 0.5);
}

/// Read the place at `tick`, and what comes after it.
static void read_place(WayFollow* f, WayTick tick) {
  f->place = way_timeline_at(f->timeline, tick);
  f->change = f->place.until ? tick + f->place.until : INT64_MAX;
  f->top = tick + f->timeline->length - f->place.tick;
  f->before = tick < 0;
  if (f->before) {
    f->place.next = 0;
    f->change = f->top = 0;
  }
  f->early = early_ticks(f);
  schedule(f);
}

/// Read the place at `frame` after a jump.
static unsigned jump(WayFollow* f, int64_t frame) {
  if (!f->timeline) {
    f->change = f->top = INT64_MAX;
    f->early = 0;
    schedule(f);
    return WAY_NEWS_JUMP;
  }
  read_place(f, way_clock_tick(&f->clock, frame));
  const bool top = way_follow_rolls(f) && !f->place.tick && !f->before;
  return WAY_NEWS_JUMP | (top ? WAY_NEWS_TOP : 0u);
}

void way_follow_init(WayFollow* f, double rate) {
  memset(f, 0, sizeof(*f));
  f->rate = rate;
  jump(f, 0);
}

int64_t way_follow_later(const WayFollow* f, int64_t frame, double seconds) {
  const WayClock* const c = &f->clock;
  if (!(c->ticks_per_frame * f->rate >= SLOWEST))
    return frame + (int64_t)((seconds + 0.0005) * f->rate + 0.5);
  const double ticks = seconds * f->rate * c->ticks_per_frame;
  return way_clock_frame(c, way_clock_tick(c, frame) + (WayTick)(ticks + 0.5) + 1);
}

int64_t way_follow_beats_later(const WayFollow* f, int64_t frame, double beats) {
  if (!f->timeline || !way_follow_rolls(f))
    return way_follow_later(f, frame, beats * 0.5);
  const WayTick tick = way_clock_tick(&f->clock, frame);
  const WayPlace p = way_timeline_at(f->timeline, tick);
  const WayTick beat = way_metre_beat(f->timeline->bars[p.bar].metre);
  return way_clock_frame(&f->clock, tick + (WayTick)(beats * (double)beat + 0.5));
}

bool way_follow_on_beat(const WayFollow* f, int64_t frame, bool strong) {
  if (!f->timeline || !way_follow_rolls(f)) return true;
  const WayPlace p = way_timeline_at(f->timeline, way_clock_tick(&f->clock, frame));
  const WayMetre metre = f->timeline->bars[p.bar].metre;
  const WayTick beat = way_metre_beat(metre);
  const WayTick nearest = (p.in_bar + beat / 2) / beat;
  if ((double)llabs(p.in_bar - nearest * beat) > WAY_ON_BEAT * (double)beat)
    return false;
  return !strong || way_metre_strong(metre, (unsigned)(nearest % metre.beats));
}

unsigned way_follow_line(WayFollow* f, const WayClock* line) {
  if (!isfinite(line->tick) || !isfinite(line->ticks_per_frame)) return WAY_NEWS_NONE;
  WayClock in_form = *line;
  in_form.tick -= (double)f->origin;
  const WayClock* const clock = &in_form;
  const double speed = fmin(fmax(clock->ticks_per_frame, 0), FASTEST);
  const double before = f->clock.ticks_per_frame;
  const double off = fabs(clock->tick - way_clock_exact(&f->clock, clock->frame));
  const bool same_speed = fabs(speed - before) <= 1e-9 * before;
  if (same_speed && off <= (speed > 0 ? fmin(speed, 0.5) : 0.5)) return WAY_NEWS_NONE;
  f->clock = *clock;
  f->clock.ticks_per_frame = speed;
  if (before > 0 && speed > 0 && off <= CORRECTION) {
    schedule(f);
    return WAY_NEWS_NONE;
  }
  const bool starts = speed > 0 && !(before > 0);
  return jump(f, clock->frame) | (starts ? WAY_NEWS_START : 0u);
}

unsigned way_follow_chart(WayFollow* f, const WayTimeline* t, WayTick origin,
                          int64_t frame) {
  f->timeline = t;
  f->clock.tick += (double)(f->origin - origin);
  f->origin = origin;
  return jump(f, frame);
}

void way_follow_early(WayFollow* f, double beats) {
  f->early_beats = beats;
  f->early = f->timeline ? early_ticks(f) : 0;
  schedule(f);
}

unsigned way_follow_step(WayFollow* f) {
  const WayTick tick = way_clock_tick(&f->clock, f->due);
  unsigned news = WAY_NEWS_NONE;
  if (f->change <= tick) news |= WAY_NEWS_CHANGE;
  if (f->top <= tick) news |= WAY_NEWS_TOP;
  read_place(f, tick);
  return news;
}
