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

/// Properties in the order they lie in.
enum {
  EARLY,
  NOTE,
  PITCH = NOTE,
  ROLE,
  INTERVAL,
  DEGREE,
  NOTE_END,
  PLACE = NOTE_END,
  TICK = PLACE,
  CHORUS,
  BAR,
  ROOT,
  ROOT_LETTER,
  TONES,
  PLACE_END,
  LANDING = PLACE_END,
  HELD_OVER,
  LANDING_END,
};

_Static_assert(LANDING_END == WAY_MARK_PROPERTIES, "one place a property");

/// The properties of each kind of mark: from the first until before the end.  A note
/// that belongs to the next chord has EARLY before them.
static const struct {
  uint8_t first, end;
} spans[WAY_MARK_COUNT] = {
    [WAY_MARK_ROLE] = {NOTE, NOTE_END},
    [WAY_MARK_LANDING] = {NOTE, LANDING_END},
    [WAY_MARK_CHANGE] = {PLACE, PLACE_END},
    [WAY_MARK_TOP] = {PLACE, PLACE_END},
};

void way_mark_writer_init(WayMarkWriter* m, const WayUrids* u) {
  const LV2_Atom wide = {sizeof(int64_t), u->atom_Long};
  const LV2_Atom narrow = {sizeof(int32_t), u->atom_Int};
  const LV2_Atom truth = {sizeof(int32_t), u->atom_Bool};
  *m = (WayMarkWriter){
      .object = u->atom_Object,
      .types = {[WAY_MARK_ROLE] = u->Role,
                [WAY_MARK_LANDING] = u->Landing,
                [WAY_MARK_CHANGE] = u->Change,
                [WAY_MARK_TOP] = u->Top},
      .blank = {[EARLY] = {u->early, 0, truth, {.narrow = {1, 0}}},
                [PITCH] = {.key = u->pitch, .type = narrow},
                [ROLE] = {.key = u->role, .type = narrow},
                [INTERVAL] = {.key = u->interval, .type = narrow},
                [DEGREE] = {.key = u->degree, .type = narrow},
                [TICK] = {.key = u->tick, .type = wide},
                [CHORUS] = {.key = u->chorus, .type = wide},
                [BAR] = {.key = u->bar, .type = narrow},
                [ROOT] = {.key = u->root, .type = narrow},
                [ROOT_LETTER] = {.key = u->rootLetter, .type = narrow},
                [TONES] = {.key = u->tones, .type = narrow},
                [LANDING] = {.key = u->landing, .type = narrow},
                [HELD_OVER] = {.key = u->heldOver, .type = truth}},
  };
}

/// Fill in what every kind of mark but roles has.
/// @param p Where its properties begin with PLACE.
static void put_place(WayMarkProperty* p, const WayMark* mark) {
  p[TICK - PLACE].value.wide = mark->tick;
  p[CHORUS - PLACE].value.wide = mark->chorus;
  p[BAR - PLACE].value.narrow[0] = (int32_t)mark->bar;
  p[ROOT - PLACE].value.narrow[0] = way_spelling_pc(mark->chord->root);
  p[ROOT_LETTER - PLACE].value.narrow[0] = mark->chord->root.letter;
  p[TONES - PLACE].value.narrow[0] = way_chord_pcs(mark->chord);
  if (mark->kind != WAY_MARK_LANDING) return;
  p[LANDING - PLACE].value.narrow[0] = mark->landing;
  p[HELD_OVER - PLACE].value.narrow[0] = mark->held_over;
}

void way_mark_writer_put(const WayMarkWriter* m, WayEventWriter* w,
                         const WayMark* mark) {
  const unsigned first = spans[mark->kind].first - (mark->early ? 1u : 0u);
  const size_t n = spans[mark->kind].end - first;
  const size_t size = offsetof(WayMarkObject, properties) + n * sizeof(WayMarkProperty);
  if ((size_t)(w->end - w->at) < size) return;
  WayMarkObject* const o = (WayMarkObject*)(void*)w->at;
  o->event.time.frames = way_writer_frame(w, mark->frame);
  o->event.body = (LV2_Atom){(uint32_t)(size - sizeof(LV2_Atom_Event)), m->object};
  o->object = (LV2_Atom_Object_Body){0, m->types[mark->kind]};
  for (size_t i = 0; i < n; ++i) o->properties[i] = m->blank[first + i];
  if (first < NOTE_END) {
    WayMarkProperty* const p = &o->properties[NOTE - first];
    p[PITCH - NOTE].value.narrow[0] = mark->pitch;
    p[ROLE - NOTE].value.narrow[0] = mark->role.role;
    p[INTERVAL - NOTE].value.narrow[0] = mark->role.interval;
    p[DEGREE - NOTE].value.narrow[0] = mark->role.degree.number;
  }
  if (mark->kind != WAY_MARK_ROLE) put_place(&o->properties[PLACE - first], mark);
  w->at += size;
}
