#include "mark_io.h"

#include <stddef.h>

#define LANE_SECONDS 0.05 ///< Long enough to be seen in a host's roll

void way_lanes_init(WayLanes* lanes, double rate) {
  memset(lanes, 0, sizeof(*lanes));
  lanes->next = INT64_MAX;
  lanes->length = (int64_t)(rate * LANE_SECONDS) + 1;
}

static bool sounds(const WayLanes* lanes, uint8_t lane) {
  return (lanes->sounding[lane >> 6] >> (lane & 63u) & 1u) != 0;
}

static void find_next(WayLanes* lanes) {
  lanes->next = INT64_MAX;
  if (!(lanes->sounding[0] | lanes->sounding[1])) return;
  for (uint8_t lane = 0; lane < 128; ++lane)
    if (sounds(lanes, lane) && lanes->ends[lane] < lanes->next)
      lanes->next = lanes->ends[lane];
}

static bool end_lane(WayLanes* lanes, WayEventWriter* w, uint8_t lane, int64_t frame) {
  const uint8_t off[3] = {(uint8_t)(0x80 | lanes->channels[lane]), lane, 64};
  if (!way_writer_midi(w, frame, off, sizeof(off))) return false;
  lanes->sounding[lane >> 6] &= ~(1ull << (lane & 63u));
  return true;
}

void way_lanes_cut(WayLanes* lanes, int64_t frame) {
  for (uint8_t lane = 0; lane < 128; ++lane)
    if (sounds(lanes, lane) && lanes->ends[lane] > frame) lanes->ends[lane] = frame;
  find_next(lanes);
}

void way_lanes_end_due(WayLanes* lanes, WayEventWriter* w, int64_t frame) {
  while (lanes->next <= frame) {
    uint8_t lane = 0;
    while (!sounds(lanes, lane) || lanes->ends[lane] != lanes->next) ++lane;
    if (!end_lane(lanes, w, lane, lanes->next)) return;
    find_next(lanes);
  }
}

void way_lanes_strike(WayLanes* lanes, WayEventWriter* w, const WayMark* mark,
                      uint8_t channel) {
  const uint8_t lane = way_mark_lane(mark);
  const bool again = sounds(lanes, lane);
  if (again && !end_lane(lanes, w, lane, mark->frame)) return;
  const uint8_t on[3] = {(uint8_t)(0x90 | channel), lane, way_mark_velocity(mark)};
  if (way_writer_midi(w, mark->frame, on, sizeof(on))) {
    lanes->sounding[lane >> 6] |= 1ull << (lane & 63u);
    lanes->ends[lane] = mark->frame + lanes->length;
    lanes->channels[lane] = channel;
    if (lanes->ends[lane] < lanes->next) lanes->next = lanes->ends[lane];
  }
  if (again) find_next(lanes);
}

/// Properties in the order they lie in; those of a note come last.
enum {
  TICK,
  CHORUS,
  BAR,
  ROOT,
  ROOT_LETTER,
  TONES,
  PLACE_END,
  PITCH = PLACE_END,
  VELOCITY,
  ROLE,
  INTERVAL,
  DEGREE,
  ROLE_END,
  LANDING = ROLE_END,
  HELD_OVER,
  LANDING_END,
};

_Static_assert(LANDING_END == WAY_MARK_PROPERTIES, "one place a property");

/// How many properties each kind of mark has.
static const uint8_t counts[WAY_MARK_COUNT] = {
    [WAY_MARK_ROLE] = ROLE_END,
    [WAY_MARK_LANDING] = LANDING_END,
    [WAY_MARK_CHANGE] = PLACE_END,
    [WAY_MARK_TOP] = PLACE_END,
};

void way_mark_writer_init(WayMarkWriter* m, const WayUrids* u) {
  const LV2_URID keys[WAY_MARK_PROPERTIES] = {
      u->tick,   u->chorus,  u->bar,      u->root, u->rootLetter,
      u->tones,  u->pitch,   u->velocity, u->role, u->interval,
      u->degree, u->landing, u->heldOver};
  memset(m, 0, sizeof(*m));
  m->types[WAY_MARK_ROLE] = u->Role;
  m->types[WAY_MARK_LANDING] = u->Landing;
  m->types[WAY_MARK_CHANGE] = u->Change;
  m->types[WAY_MARK_TOP] = u->Top;
  m->object.event.body.type = u->atom_Object;
  for (unsigned i = 0; i < WAY_MARK_PROPERTIES; ++i) {
    WayMarkProperty* const p = &m->object.properties[i];
    const bool wide = i == TICK || i == CHORUS;
    p->key = keys[i];
    p->type.size = wide ? sizeof(int64_t) : sizeof(int32_t);
    p->type.type = wide ? u->atom_Long : i == HELD_OVER ? u->atom_Bool : u->atom_Int;
  }
}

static void put_int(WayMarkProperty* p, int32_t value) {
  memcpy(&p->value, &value, sizeof(value));
}

void way_mark_writer_put(const WayMarkWriter* m, WayEventWriter* w,
                         const WayMark* mark) {
  const size_t size = offsetof(WayMarkObject, properties) +
                      counts[mark->kind] * sizeof(WayMarkProperty);
  if ((size_t)(w->end - w->at) < size) return;
  WayMarkObject* const o = (WayMarkObject*)(void*)w->at;
  memcpy(o, &m->object, size);
  o->event.time.frames = way_writer_frame(w, mark->frame);
  o->event.body.size = (uint32_t)(size - sizeof(LV2_Atom_Event));
  o->object.otype = m->types[mark->kind];
  WayMarkProperty* const p = o->properties;
  p[TICK].value = mark->tick;
  p[CHORUS].value = mark->chorus;
  put_int(&p[BAR], (int32_t)mark->bar);
  put_int(&p[ROOT], way_spelling_pc(mark->chord.root));
  put_int(&p[ROOT_LETTER], mark->chord.root.letter);
  put_int(&p[TONES], way_chord_pcs(&mark->chord));
  if (counts[mark->kind] > PLACE_END) {
    put_int(&p[PITCH], mark->pitch);
    put_int(&p[VELOCITY], mark->velocity);
    put_int(&p[ROLE], mark->role.role);
    put_int(&p[INTERVAL], mark->role.interval);
    put_int(&p[DEGREE], mark->role.degree.number);
  }
  if (mark->kind == WAY_MARK_LANDING) {
    put_int(&p[LANDING], mark->landing);
    put_int(&p[HELD_OVER], mark->held_over);
  }
  w->at += size;
}
