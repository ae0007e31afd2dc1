#include "readout.h"

#include "theory/chord_kind.h"

#include <string.h>

void way_readout_init(WayReadout* r) {
  memset(r, 0, sizeof(*r));
  for (unsigned i = 0; i < WAY_READOUT_COUNT; ++i) r->ports[i] = &r->nowhere[i];
  r->landing = -1;
  way_readout_touch(r);
}

void way_readout_connect(WayReadout* r, unsigned readout, float* at) {
  r->ports[readout] = at ? at : &r->nowhere[readout];
  way_readout_touch(r);
}

static void show_chord(float* root, float* kind, const WayHarmony* h) {
  const bool sounds = h && !way_chord_is_none(&h->chord);
  *root = sounds ? way_spelling_pc(h->chord.root) : -1;
  *kind = sounds ? (float)way_chord_kind(&h->chord) : -1;
}

/// Show the place, and find out how long it holds.
static void show_place(WayReadout* r, const WayGuideView* v, const WayTimeline* t,
                       const WayClock* clock, int64_t frame) {
  const WayTick beat = way_metre_beat(t->bars[v->place.bar].metre);
  r->shown[WAY_READOUT_CHORUS] = v->place.chorus < 0 ? 0 : (float)(v->place.chorus + 1);
  r->shown[WAY_READOUT_BAR] = (float)(v->place.bar + 1);
  r->shown[WAY_READOUT_BEAT] = (float)(v->place.in_bar / beat + 1);
  if (!v->rolling) return;
  WayTick holds = beat - v->place.in_bar % beat;
  if (v->place.until && v->place.until < holds) holds = v->place.until;
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
  memset(r->shown, 0, sizeof(r->shown));
  show_chord(&r->shown[WAY_READOUT_CHORD_ROOT], &r->shown[WAY_READOUT_CHORD_KIND],
             v.now);
  show_chord(&r->shown[WAY_READOUT_NEXT_ROOT], &r->shown[WAY_READOUT_NEXT_KIND],
             v.next);
  r->shown[WAY_READOUT_BEATS_TO_CHANGE] = (float)v.beats_to_change;
  const bool note = v.last_pitch != WAY_UNHELD;
  r->shown[WAY_READOUT_ROLE] = note ? v.last.role : -1;
  r->shown[WAY_READOUT_INTERVAL] = note ? v.last.interval : -1;
  r->shown[WAY_READOUT_LANDING] = r->landing;
  r->stale = INT64_MAX;
  r->counting = false;
  if (t) show_place(r, &v, t, clock, frame);
  for (unsigned i = 0; i < WAY_READOUT_COUNT; ++i) *r->ports[i] = r->shown[i];
}
