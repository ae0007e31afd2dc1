#include "readout.h"

#include <string.h>

void way_readout_init(WayReadout* r) {
  memset(r, 0, sizeof(*r));
  for (unsigned i = 0; i < WAY_READOUT_COUNT; ++i) r->ports[i] = &r->nowhere[i];
  way_readout_forget(r);
  way_readout_touch(r);
}

void way_readout_forget(WayReadout* r) {
  r->role = r->interval = r->landing = -1;
  r->has_news = true;
}

void way_readout_write_note(WayReadout* r) {
  *r->ports[WAY_READOUT_ROLE] = r->role;
  *r->ports[WAY_READOUT_INTERVAL] = r->interval;
  *r->ports[WAY_READOUT_LANDING] = r->landing;
  r->has_news = false;
}

void way_readout_connect(WayReadout* r, unsigned readout, float* at) {
  r->ports[readout] = at ? at : &r->nowhere[readout];
  r->has_news = true;
  way_readout_touch(r);
}

static void show_chord(const WayReadout* r, unsigned root, unsigned kind,
                       const WayHarmony* h) {
  const bool sounds = h && !way_chord_is_none(&h->chord);
  *r->ports[root] = sounds ? way_spelling_pc(h->chord.root) : -1;
  *r->ports[kind] = sounds ? h->kind : -1;
}

/// Show the place, and find out how long it holds.
static void show_place(WayReadout* r, const WayGuideView* v, const WayTimeline* t,
                       const WayClock* clock, int64_t frame) {
  const WayTick beat = way_metre_beat(t->bars[v->place.bar].metre);
  const int64_t chorus = v->place.chorus;
  *r->ports[WAY_READOUT_CHORUS] = chorus < 0 ? 0 : (float)(chorus + 1);
  *r->ports[WAY_READOUT_BAR] = (float)(v->place.bar + 1);
  *r->ports[WAY_READOUT_BEAT] = (float)(v->place.in_bar / beat + 1);
  if (!v->rolling) return;
  WayTick holds = beat - v->place.in_bar % beat;
  if (v->place.until) { // a whole beat less to the change is news, too
    const WayTick part = (v->place.until - 1) % beat + 1;
    if (part < holds) holds = part;
  }
  r->stale = way_clock_frame(clock, way_clock_tick(clock, frame) + holds);
  if (v->beats_to_change > 0) {
    r->counting = true;
    r->beats_per_frame = clock->ticks_per_frame / (double)beat;
    r->change_frame = (double)frame + v->beats_to_change / r->beats_per_frame;
  }
}

void way_readout_renew(WayReadout* r, const WayEngine* e, const WayTimeline* t,
                       const WayClock* clock, int64_t frame) {
  const WayGuideView v = way_engine_view(e, frame);
  show_chord(r, WAY_READOUT_CHORD_ROOT, WAY_READOUT_CHORD_KIND, v.now);
  show_chord(r, WAY_READOUT_NEXT_ROOT, WAY_READOUT_NEXT_KIND, v.next);
  *r->ports[WAY_READOUT_BEATS_TO_CHANGE] = (float)v.beats_to_change;
  r->stale = INT64_MAX;
  r->counting = false;
  if (t) {
    show_place(r, &v, t, clock, frame);
  } else {
    *r->ports[WAY_READOUT_CHORUS] = 0;
    *r->ports[WAY_READOUT_BAR] = 0;
    *r->ports[WAY_READOUT_BEAT] = 0;
  }
}
