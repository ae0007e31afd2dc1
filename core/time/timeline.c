#include "time/timeline.h"

/// Index of the last entry whose `field` is at most `key`; entry 0 always is.
#define DEFINE_LAST_AT(name, type, field, key_type)                                    \
  static uint32_t name(const type* entries, uint32_t n, key_type key) {                \
    const type* low = entries; /* no branch a processor could guess wrong */           \
    while (n > 1) {                                                                    \
      const uint32_t half = n / 2;                                                     \
      low += low[half].field <= key ? half : 0;                                        \
      n -= half;                                                                       \
    }                                                                                  \
    return (uint32_t)(low - entries);                                                  \
  }
DEFINE_LAST_AT(last_span, WaySpan, start, WayTick)
DEFINE_LAST_AT(last_bar, WayBar, start, WayTick)
DEFINE_LAST_AT(last_section, WaySection, first_bar, uint32_t)

/// Whether the last chord rings on over the top of the form.
static bool rings_over_top(const WayTimeline* t) {
  const WaySpan *first = &t->spans[0], *last = &t->spans[t->n_spans - 1];
  return first->harmony == last->harmony && !first->target.number;
}

/// Fill in the next change, with `p->span` and `p->tick` known.
static void place_next(const WayTimeline* t, bool over_top, WayPlace* p) {
  p->next = p->span + 1;
  WayTick lap = 0;
  if (p->next == t->n_spans) {
    p->next = over_top ? 1 : 0;
    lap = t->length;
  }
  if (p->next == t->n_spans) { // one chord for ever
    p->next = p->span;
    return;
  }
  p->until = lap + t->spans[p->next].start - p->tick;
}

WayPlace way_timeline_at(const WayTimeline* t, WayTick tick) {
  WayPlace p = {.chorus = tick / t->length, .tick = tick % t->length};
  if (p.tick < 0) {
    p.tick += t->length;
    --p.chorus;
  }
  const bool over_top = rings_over_top(t);
  p.span = last_span(t->spans, t->n_spans, p.tick);
  p.since = p.tick - t->spans[p.span].start;
  if (!p.span && over_top && t->n_spans > 1)
    p.since += t->length - t->spans[t->n_spans - 1].start;
  place_next(t, over_top, &p);
  p.bar = last_bar(t->bars, t->n_bars, p.tick);
  p.in_bar = p.tick - t->bars[p.bar].start;
  p.section = last_section(t->sections, t->n_sections, p.bar);
  return p;
}

WayTick way_timeline_next_change(const WayTimeline* t, WayTick tick) {
  const WayTick until = way_timeline_at(t, tick).until;
  return !until || tick > INT64_MAX - until ? INT64_MAX : tick + until;
}

uint32_t way_timeline_span_for(const WayTimeline* t, WayTick tick, WayTick early) {
  const WayPlace p = way_timeline_at(t, tick);
  return p.until && p.until <= early ? p.next : p.span;
}
