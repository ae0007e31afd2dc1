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
  *m = (WayMarkWriter){
      .object = u->atom_Object,
      .types = {[WAY_MARK_ROLE] = u->Role,
                [WAY_MARK_LANDING] = u->Landing,
                [WAY_MARK_CHANGE] = u->Change,
                [WAY_MARK_TOP] = u->Top},
      .keys = {u->tick, u->chorus, u->bar, u->root, u->rootLetter, u->tones, u->pitch,
               u->velocity, u->role, u->interval, u->degree, u->landing, u->heldOver},
      .wide = {sizeof(int64_t), u->atom_Long},
      .narrow = {sizeof(int32_t), u->atom_Int},
      .truth = {sizeof(int32_t), u->atom_Bool},
      .chord = way_chord_none(),
  };
}

/// A mark on its way out: written straight into place, which is what marks cost.
typedef struct {
  const WayMarkWriter* m;
  WayMarkProperty* properties;
} Writing;

static inline void put_wide(Writing w, unsigned i, int64_t value) {
  w.properties[i] = (WayMarkProperty){w.m->keys[i], 0, w.m->wide, {.wide = value}};
}

static inline void put_int(Writing w, unsigned i, int32_t value) {
  w.properties[i] =
      (WayMarkProperty){w.m->keys[i], 0, w.m->narrow, {.narrow = {value, 0}}};
}

static inline void put_truth(Writing w, unsigned i, bool value) {
  w.properties[i] =
      (WayMarkProperty){w.m->keys[i], 0, w.m->truth, {.narrow = {value, 0}}};
}

void way_mark_writer_put(WayMarkWriter* m, WayEventWriter* w, const WayMark* mark) {
  const size_t size = offsetof(WayMarkObject, properties) +
                      counts[mark->kind] * sizeof(WayMarkProperty);
  if ((size_t)(w->end - w->at) < size) return;
  if (memcmp(&m->chord, &mark->chord, sizeof(m->chord)) != 0) {
    m->chord = mark->chord;
    m->root = way_spelling_pc(mark->chord.root);
    m->tones = way_chord_pcs(&mark->chord);
  }
  WayMarkObject* const o = (WayMarkObject*)(void*)w->at;
  const Writing to = {m, o->properties};
  o->event.time.frames = way_writer_frame(w, mark->frame);
  o->event.body = (LV2_Atom){(uint32_t)(size - sizeof(LV2_Atom_Event)), m->object};
  o->object = (LV2_Atom_Object_Body){0, m->types[mark->kind]};
  put_wide(to, TICK, mark->tick);
  put_wide(to, CHORUS, mark->chorus);
  put_int(to, BAR, (int32_t)mark->bar);
  put_int(to, ROOT, m->root);
  put_int(to, ROOT_LETTER, mark->chord.root.letter);
  put_int(to, TONES, m->tones);
  if (counts[mark->kind] > PLACE_END) {
    put_int(to, PITCH, mark->pitch);
    put_int(to, VELOCITY, mark->velocity);
    put_int(to, ROLE, mark->role.role);
    put_int(to, INTERVAL, mark->role.interval);
    put_int(to, DEGREE, mark->role.degree.number);
  }
  if (mark->kind == WAY_MARK_LANDING) {
    put_int(to, LANDING, mark->landing);
    put_truth(to, HELD_OVER, mark->held_over);
  }
  w->at += size;
}
