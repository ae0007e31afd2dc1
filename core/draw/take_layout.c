#include "draw/take_layout.h"

#include <stdlib.h>

// At scale 1, in points.
#define GUTTER 25.0 // names of notes
#define LANE 13.0
#define PAD 4.0
#define FOOT 8.0
#define SEMITONE 3.0
#define BRACKETS 10.0
#define GAP 5.0
#define LEAST_RANGE 11 // semitones: with both ends every tone has its place
#define LEAST_STEP 6.5 // points from one note to the next
/// Notes before a system that are looked at for what still sounds in it.
#define SOUNDING_MAX 64u

double way_take_x(const WayTakeLayout* l, const WayTakeSystem* s, WayTick tick) {
  return l->left + (double)(tick - s->start) * l->per_tick;
}

double way_take_y(const WayTakeLayout* l, const WayTakeSystem* s, int pitch) {
  return s->y + l->lane + l->pad + l->semitone * (s->high - pitch + 0.5);
}

double way_take_bottom(const WayTakeLayout* l) {
  if (!l->n) return l->frame.top;
  return l->systems[l->n - 1].y + l->systems[l->n - 1].height;
}

void way_take_layout_free(WayTakeLayout* layout) { free(layout->systems); }

// ---- How many bars side by side.

static WayTick longest_bar(const WayTimeline* t) {
  WayTick longest = 0;
  for (uint32_t i = 0; i < t->n_bars; ++i) {
    const WayTick bar = way_metre_bar(t->bars[i].metre);
    if (bar > longest) longest = bar;
  }
  return longest;
}

/// Whether notes stand too close at this many points a tick: one in ten or more.
static bool too_dense(const WayReview* r, double per_tick) {
  uint32_t close = 0;
  for (uint32_t i = 1; i < r->take->n; ++i) {
    const WayTick step = r->take->notes[i].start - r->take->notes[i - 1].start;
    close += step > WAY_REVIEW_AT_ONCE / 4 && (double)step * per_tick < LEAST_STEP;
  }
  return 10 * close > r->take->n;
}

static uint32_t bars_aside(const WayReview* r, double width, WayTick bar) {
  const double quarters = (double)bar / WAY_TICKS_PER_QUARTER;
  uint32_t bars = quarters < 2.5 ? 8 : quarters <= 5.5 ? 4 : 2;
  while (bars > 1 && too_dense(r, width / (double)(bar * bars))) bars /= 2;
  return bars;
}

// ---- Systems.

/// The start of the bar after the one that `tick` lies in.
static WayTick bar_after(const WayTimeline* t, WayTick tick) {
  const WayPlace p = way_timeline_at(t, tick);
  return tick - p.in_bar + way_metre_bar(t->bars[p.bar].metre);
}

static WayTick take_end(const WayReview* r) {
  WayTick end = 1;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayTick stop = way_review_onset(r, i) + r->take->notes[i].length;
    if (stop > end) end = stop;
  }
  return end;
}

/// The end of the system that begins at `start`.
static WayTick system_end(const WayTimeline* t, WayTick start, uint32_t bars,
                          WayTick end) {
  const WayPlace first = way_timeline_at(t, start);
  WayTick tick = bar_after(t, start);
  for (uint32_t i = 1; i < bars && tick < end; ++i) {
    const WayPlace p = way_timeline_at(t, tick);
    if (p.chorus != first.chorus || p.section != first.section) break;
    tick = bar_after(t, tick);
  }
  return tick;
}

uint32_t way_take_sounding(const WayReview* r, const WayTakeSystem* s, uint32_t from) {
  const uint32_t earliest = s->first > SOUNDING_MAX ? s->first - SOUNDING_MAX : 0;
  for (uint32_t i = from > earliest ? from : earliest; i < s->first; ++i)
    if (way_review_onset(r, i) + r->take->notes[i].length >
        s->start + WAY_REVIEW_AT_ONCE)
      return i;
  return s->first;
}

static void span_pitches(const WayReview* r, WayTakeSystem* s, uint32_t* next) {
  int low = 128, high = -1;
  s->first = *next;
  while (*next < r->take->n && way_review_onset(r, *next) < s->end - WAY_TAKE_LEAD)
    ++*next;
  s->n = *next - s->first;
  for (uint32_t i = way_take_sounding(r, s, 0); i < *next;
       i = i + 1 < s->first ? way_take_sounding(r, s, i + 1) : i + 1) {
    const int pitch = r->take->notes[i].pitch;
    if (pitch < low) low = pitch;
    if (pitch > high) high = pitch;
  }
  if (high < 0) low = high = s->low; // as in the system before
  while (high - low < LEAST_RANGE) {
    if (high < 127) ++high;
    if (low > 0) --low;
  }
  s->low = (uint8_t)low;
  s->high = (uint8_t)high;
}

static WayStatus add_systems(const WayReview* r, uint32_t bars, WayTakeLayout* l) {
  const WayTimeline* const t = r->timeline;
  const WayTick end = take_end(r);
  WayTick tick = r->take->n && way_review_onset(r, 0) < 0 ? way_review_onset(r, 0) : 0;
  tick -= way_timeline_at(t, tick).in_bar;
  uint32_t next = 0;
  while (tick < end) {
    if (l->n == WAY_TAKE_SYSTEMS_MAX) return WAY_ERR_RANGE;
    WayTakeSystem* const s = &l->systems[l->n];
    *s = (WayTakeSystem){.start = tick, .end = system_end(t, tick, bars, end)};
    s->low = l->n ? (uint8_t)((s[-1].low + s[-1].high) / 2) : 60;
    span_pitches(r, s, &next);
    s->height = l->lane + l->pad + l->foot + l->semitone * (s->high - s->low + 1) +
                l->brackets + GAP * l->frame.scale;
    ++l->n;
    tick = s->end;
  }
  return WAY_OK;
}

static void break_pages(WayTakeLayout* l) {
  double y = l->frame.top, bottom = l->frame.bottom;
  for (uint32_t i = 0; i < l->n; ++i) {
    WayTakeSystem* const s = &l->systems[i];
    // A page that holds nothing yet takes a system however high it is, unless it is the
    // first, which may be full of other things.
    const bool empty = l->n_pages > 1 && y <= l->frame.top_next;
    if (y + s->height > bottom && !empty) {
      ++l->n_pages;
      y = l->frame.top_next;
      bottom = l->frame.bottom_next;
    }
    s->page = l->n_pages - 1;
    s->y = y;
    y += s->height;
  }
}

WayStatus way_take_layout(const WayReview* r, const WayTakeFrame* frame,
                          WayTakeLayout* out) {
  const double scale = frame->scale;
  WayTakeLayout l = {.frame = *frame,
                     .left = frame->left + GUTTER * scale,
                     .lane = LANE * scale,
                     .pad = PAD * scale,
                     .foot = FOOT * scale,
                     .semitone = SEMITONE * scale * frame->tight,
                     .brackets = BRACKETS * scale,
                     .n_pages = 1};
  const double width = frame->width - GUTTER * scale;
  const WayTick bar = longest_bar(r->timeline);
  const uint32_t bars = bars_aside(r, width / scale, bar);
  l.per_tick = width / (double)(bar * bars);
  l.systems = calloc(WAY_TAKE_SYSTEMS_MAX, sizeof(*l.systems));
  if (!l.systems) return WAY_ERR_NO_MEMORY;
  const WayStatus st = add_systems(r, bars, &l);
  if (st) {
    free(l.systems);
    return st;
  }
  break_pages(&l);
  *out = l;
  return WAY_OK;
}
