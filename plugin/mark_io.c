#include "mark_io.h"

#include <stddef.h>

#define RELEASE 64u       ///< Velocity of every note-off
#define LANE_SECONDS 0.05 ///< Long enough to be seen in a host's roll

void way_lanes_init(WayLanes* lanes, double rate) {
  memset(lanes, 0, sizeof(*lanes));
  lanes->next = INT64_MAX;
  lanes->length = (int64_t)(rate * LANE_SECONDS) + 1;
}

/// Send the end of one note and forget it.
static bool end_note(WayLanes* lanes, WayEventWriter* w, unsigned index,
                     int64_t frame) {
  const WayLaneNote* const note = &lanes->notes[index];
  if (!way_writer_short(w, frame, 0x80u | note->channel, note->note, RELEASE))
    return false;
  --lanes->n;
  for (unsigned i = index; i < lanes->n; ++i) lanes->notes[i] = lanes->notes[i + 1];
  lanes->next = lanes->n ? lanes->notes[0].end : INT64_MAX;
  return true;
}

void way_lanes_cut(WayLanes* lanes, int64_t frame) {
  for (unsigned i = 0; i < lanes->n; ++i)
    if (lanes->notes[i].end > frame) lanes->notes[i].end = frame;
  if (lanes->n) lanes->next = lanes->notes[0].end;
}

void way_lanes_end_due(WayLanes* lanes, WayEventWriter* w, int64_t frame) {
  while (lanes->next <= frame && end_note(lanes, w, 0, lanes->next)) {
  }
}

void way_lanes_strike(WayLanes* lanes, WayEventWriter* w, const WayMark* mark,
                      uint8_t channel) {
  const uint8_t note = way_mark_lane(mark);
  unsigned i = 0;
  while (i < lanes->n && lanes->notes[i].note != note) ++i;
  if (i < lanes->n && !end_note(lanes, w, i, mark->frame)) return;
  const uint8_t velocity = way_mark_velocity(mark);
  if (!way_writer_short(w, mark->frame, 0x90u | channel, note, velocity)) return;
  lanes->notes[lanes->n++] = (WayLaneNote){mark->frame + lanes->length, note, channel};
  lanes->next = lanes->notes[0].end;
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

/// Put what all marks over one chord have in common into the template.
static void take_chord(WayMarkWriter* m, const WayChord* chord) {
  m->chord = *chord;
  put_int(&m->object.properties[ROOT], way_spelling_pc(chord->root));
  put_int(&m->object.properties[ROOT_LETTER], chord->root.letter);
  put_int(&m->object.properties[TONES], way_chord_pcs(chord));
}

void way_mark_writer_put(WayMarkWriter* m, WayEventWriter* w, const WayMark* mark) {
  const size_t size = offsetof(WayMarkObject, properties) +
                      counts[mark->kind] * sizeof(WayMarkProperty);
  if ((size_t)(w->end - w->at) < size) return;
  if (memcmp(&m->chord, &mark->chord, sizeof(m->chord)) != 0)
    take_chord(m, &mark->chord);
  WayMarkObject* const o = (WayMarkObject*)(void*)w->at;
  o->event = m->object.event;
  o->object = m->object.object;
  for (unsigned i = 0; i < counts[mark->kind]; ++i) // too short for a memcpy to pay
    o->properties[i] = m->object.properties[i];
  o->event.time.frames = way_writer_frame(w, mark->frame);
  o->event.body.size = (uint32_t)(size - sizeof(LV2_Atom_Event));
  o->object.otype = m->types[mark->kind];
  WayMarkProperty* const p = o->properties;
  p[TICK].value = mark->tick;
  p[CHORUS].value = mark->chorus;
  put_int(&p[BAR], (int32_t)mark->bar);
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
