#include "live/click.h"

#include "theory/guide_line.h"

/// The next change at or behind `from`; the form's first chord is one.
static WayTick change_at(const WayTimeline* t, WayTick from) {
  if (from <= 0) return 0;
  return way_timeline_next_change(t, from - 1);
}

/// A beat of the bar before `change`.
static WayTick beat_before(const WayTimeline* t, WayTick change) {
  const WayPlace before = way_timeline_at(t, change ? change - 1 : 0);
  return way_metre_beat(t->bars[before.bar].metre);
}

/// The first bar or beat at `from` (0 or more) or behind it.
static WayTick regular_at(const WayTimeline* t, WayClickAt at, WayTick from) {
  const WayPlace p = way_timeline_at(t, from);
  const WayMetre metre = t->bars[p.bar].metre;
  const WayTick beat = way_metre_beat(metre), bar = from - p.in_bar;
  if (at == WAY_CLICK_AT_BEATS) return bar + (p.in_bar + beat - 1) / beat * beat;
  return p.in_bar ? bar + way_metre_bar(metre) : bar;
}

/// The first lead click to `change` at `from` or behind it; `change` if there is none.
static WayTick lead_at(const WayTimeline* t, unsigned lead, WayTick change,
                       WayTick from) {
  const WayTick beat = beat_before(t, change);
  const WayTick beats = (change - from) / beat;
  return change - beat * (beats < (WayTick)lead ? beats : (WayTick)lead);
}

WayTick way_click_next(const WayTimeline* t, WayClickAt at, unsigned lead,
                       WayTick from) {
  if (at == WAY_CLICK_AT_OFF) return INT64_MAX;
  WayTick change = change_at(t, from);
  const WayTick next =
      at == WAY_CLICK_AT_CHANGES ? change : regular_at(t, at, from > 0 ? from : 0);
  while (lead && change != INT64_MAX) {
    const WayTick first = lead_at(t, lead, change, from);
    if (first < change || first >= next) return first < next ? first : next;
    from = change;
    change = way_timeline_next_change(t, change);
  }
  return next;
}

uint32_t way_click_span(const WayTimeline* t, unsigned lead, WayTick tick) {
  const uint32_t now = tick < 0 ? 0 : way_timeline_at(t, tick).span;
  if (!lead || tick == INT64_MAX) return now;
  const WayTick change = change_at(t, tick + 1);
  if (change == INT64_MAX || change - tick > lead * beat_before(t, change)) return now;
  return way_timeline_at(t, change).span;
}

/// The pitch of class `pc` nearest to `from`.
static uint8_t nearest(WayPc pc, uint8_t from) {
  int up = (pc - from % 12 + 12) % 12;
  if (up > 6 || from + up > 127) up -= 12;
  return (uint8_t)(from + up < 0 ? from + up + 12 : from + up);
}

uint8_t way_click_tone(const WayChord* chord, uint8_t from) {
  static const uint8_t numbers[][4] = {{3, 4, 2, 0}, {7, 6, 0, 0}};
  if (way_chord_is_none(chord)) return WAY_LINE_SILENT;
  const WayPc root = way_spelling_pc(chord->root);
  uint8_t best = WAY_LINE_SILENT;
  for (size_t i = 0; i < WAY_COUNT(numbers); ++i) {
    const WayDegree* tone = NULL;
    for (size_t k = 0; !tone && numbers[i][k]; ++k)
      tone = way_chord_tone_numbered(chord, numbers[i][k]);
    if (!tone) continue;
    const uint8_t pitch = nearest(way_pc(root + way_degree_pc(*tone)), from);
    const int off = pitch > from ? pitch - from : from - pitch;
    if (best == WAY_LINE_SILENT || off < (best > from ? best - from : from - best))
      best = pitch;
  }
  return best == WAY_LINE_SILENT ? nearest(root, from) : best;
}

void way_click_init(WayClick* c) {
  *c = (WayClick){.due = INT64_MAX,
                  .last = INT64_MIN,
                  .ends = INT64_MAX,
                  .pitch = WAY_CLICK_MIDDLE};
}

void way_click_jump(WayClick* c) {
  c->last = INT64_MIN;
  c->due = INT64_MAX;
}

void way_click_plan(WayClick* c, const WayFollow* f, const WaySettings* s, bool heard,
                    int64_t frame) {
  const WayTick due = c->due == INT64_MAX ? INT64_MAX : c->tick;
  c->due = INT64_MAX;
  if (!s->click || !s->enabled || !f->timeline || !way_follow_rolls(f)) return;
  WayTick from = way_clock_tick(&f->clock, frame);
  if (from > due) from = due;
  if (from <= c->last) from = c->last + 1;
  c->tick = way_click_next(f->timeline, s->click, heard ? 0 : s->click_lead, from);
  if (c->tick != INT64_MAX) c->due = way_clock_frame(&f->clock, c->tick);
  if (c->due < frame) c->due = frame;
}
