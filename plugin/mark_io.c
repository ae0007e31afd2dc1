#include "mark_io.h"

#define LANE_SECONDS 0.05 ///< Long enough to be seen in a host's roll

void way_lanes_init(WayLanes* lanes, double rate) {
  memset(lanes, 0, sizeof(*lanes));
  lanes->next = INT64_MAX;
  lanes->length = (int64_t)(rate * LANE_SECONDS) + 1;
}

/// The lane whose note ends first; #WAY_LANE_COUNT if none sounds.
static unsigned first_to_end(const WayLanes* lanes) {
  unsigned first = WAY_LANE_COUNT;
  for (unsigned i = 0; i < WAY_LANE_COUNT; ++i)
    if (lanes->sounding >> i & 1 &&
        (first == WAY_LANE_COUNT || lanes->notes[i].end < lanes->notes[first].end))
      first = i;
  return first;
}

/// End a lane's note.  @return Whether there was room.
static bool end_note(WayLanes* lanes, WayEventWriter* w, unsigned lane, int64_t frame) {
  if (!way_writer_note(w, frame, way_lane_off(lanes, lane))) return false;
  lanes->sounding &= ~(1u << lane);
  return true;
}

void way_lanes_cut(WayLanes* lanes, int64_t frame) {
  for (unsigned i = 0; i < WAY_LANE_COUNT; ++i)
    if (lanes->notes[i].end > frame) lanes->notes[i].end = frame;
  if (lanes->sounding) lanes->next = INT64_MIN;
}

void way_lanes_end_due(WayLanes* lanes, WayEventWriter* w, int64_t frame) {
  for (unsigned i = 0; (i = first_to_end(lanes)) < WAY_LANE_COUNT;) {
    lanes->next = lanes->notes[i].end;
    if (lanes->next > frame || !end_note(lanes, w, i, lanes->next)) return;
  }
  lanes->next = INT64_MAX;
}

void way_lanes_strike(WayLanes* lanes, WayEventWriter* w, const WayMark* mark,
                      uint8_t channel) {
  const unsigned lane = way_mark_lane(mark);
  if (lanes->sounding >> lane & 1 && !end_note(lanes, w, lane, mark->frame)) return;
  if (way_writer_note(w, mark->frame,
                      way_lane_on(lane, way_mark_velocity(mark), channel)))
    way_lanes_enter(lanes, lane, mark->frame, channel);
}

/// The properties of each kind of mark: from the first until before the end.  A note
/// that is marked again, or early, has WAY_PROPERTY_AGAIN and WAY_PROPERTY_EARLY before
/// them.
static const struct {
  uint8_t first, end;
} spans[WAY_MARK_COUNT] = {
    [WAY_MARK_ROLE] = {WAY_PROPERTY_NOTE, WAY_PROPERTY_PLACE},
    [WAY_MARK_LANDING] = {WAY_PROPERTY_NOTE, WAY_PROPERTY_COUNT},
    [WAY_MARK_CHANGE] = {WAY_PROPERTY_PLACE, WAY_PROPERTY_LANDING},
    [WAY_MARK_TOP] = {WAY_PROPERTY_PLACE, WAY_PROPERTY_LANDING},
    [WAY_MARK_RESOLUTION] = {WAY_PROPERTY_NOTE, WAY_PROPERTY_PLACE},
    [WAY_MARK_LEARNED] = {WAY_PROPERTY_PLACE, WAY_PROPERTY_LANDING},
};

void way_mark_writer_init(WayMarkWriter* m, const WayUrids* u) {
  const LV2_Atom wide = {sizeof(int64_t), u->atom_Long};
  const LV2_Atom narrow = {sizeof(int32_t), u->atom_Int};
  const LV2_Atom truth = {sizeof(int32_t), u->atom_Bool};
  *m = (WayMarkWriter){
      .object = u->atom_Object,
      .string = u->atom_String,
      .types = {[WAY_MARK_ROLE] = u->Role,
                [WAY_MARK_LANDING] = u->Landing,
                [WAY_MARK_CHANGE] = u->Change,
                [WAY_MARK_TOP] = u->Top,
                [WAY_MARK_RESOLUTION] = u->Resolution,
                [WAY_MARK_LEARNED] = u->Learned},
      .blank = {[WAY_PROPERTY_AGAIN] = {.key = u->again, .type = truth},
                [WAY_PROPERTY_EARLY] = {.key = u->early, .type = truth},
                [WAY_PROPERTY_PITCH] = {.key = u->pitch, .type = narrow},
                [WAY_PROPERTY_ROLE] = {.key = u->role, .type = narrow},
                [WAY_PROPERTY_INTERVAL] = {.key = u->interval, .type = narrow},
                [WAY_PROPERTY_DEGREE] = {.key = u->degree, .type = narrow},
                [WAY_PROPERTY_TICK] = {.key = u->tick, .type = wide},
                [WAY_PROPERTY_CHORUS] = {.key = u->chorus, .type = wide},
                [WAY_PROPERTY_BAR] = {.key = u->bar, .type = narrow},
                [WAY_PROPERTY_ROOT] = {.key = u->root, .type = narrow},
                [WAY_PROPERTY_ROOT_LETTER] = {.key = u->rootLetter, .type = narrow},
                [WAY_PROPERTY_TONES] = {.key = u->tones, .type = narrow},
                [WAY_PROPERTY_LANDING] = {.key = u->landing, .type = narrow},
                [WAY_PROPERTY_HELD_OVER] = {.key = u->heldOver, .type = truth}},
  };
  m->plain.event.body =
      (LV2_Atom){(uint32_t)(WAY_PLAIN_SIZE - sizeof(LV2_Atom_Event)), m->object};
  memcpy(m->plain.properties, m->blank + WAY_PROPERTY_NOTE,
         WAY_PLAIN_SIZE - offsetof(WayMarkObject, properties));
}

/// Fill in what every kind of mark but roles has.
/// @param p Where its properties begin with WAY_PROPERTY_PLACE.
static void put_place(WayMarkProperty* p, const WayMark* mark) {
  p[WAY_PROPERTY_TICK - WAY_PROPERTY_PLACE].value.wide = mark->tick;
  p[WAY_PROPERTY_CHORUS - WAY_PROPERTY_PLACE].value.wide = mark->chorus;
  p[WAY_PROPERTY_BAR - WAY_PROPERTY_PLACE].value.narrow[0] = (int32_t)mark->bar;
  p[WAY_PROPERTY_ROOT - WAY_PROPERTY_PLACE].value.narrow[0] =
      way_spelling_pc(mark->chord->root);
  p[WAY_PROPERTY_ROOT_LETTER - WAY_PROPERTY_PLACE].value.narrow[0] =
      mark->chord->root.letter;
  p[WAY_PROPERTY_TONES - WAY_PROPERTY_PLACE].value.narrow[0] =
      way_chord_pcs(mark->chord);
  if (mark->kind != WAY_MARK_LANDING) return;
  p[WAY_PROPERTY_LANDING - WAY_PROPERTY_PLACE].value.narrow[0] = mark->landing;
  p[WAY_PROPERTY_HELD_OVER - WAY_PROPERTY_PLACE].value.narrow[0] = mark->held_over;
}

/// Whether a mark has nothing before its usual properties.
static inline bool is_plain(const WayMark* mark) {
  return !mark->again && !mark->early;
}

/// Begin an object of `n` properties; NULL if there is no room.
static WayMarkProperty* begin_object(const WayMarkWriter* m, WayEventWriter* w,
                                     const WayMark* mark, size_t n) {
  const size_t size = offsetof(WayMarkObject, properties) + n * sizeof(WayMarkProperty);
  WayMarkObject* const o =
      (WayMarkObject*)(void*)way_writer_event(w, mark->frame, size);
  if (!o) return NULL;
  o->event.body = (LV2_Atom){(uint32_t)(size - sizeof(LV2_Atom_Event)), m->object};
  o->object = (LV2_Atom_Object_Body){0, m->types[mark->kind]};
  return o->properties;
}

void way_mark_send(const WayMarkWriter* m, WayLanes* lanes, WayEventWriter* w,
                   const WayMark* mark, uint8_t channel) {
  way_lanes_end(lanes, w, mark->frame);
  way_lanes_strike(lanes, w, mark, channel);
  const unsigned first =
      is_plain(mark) ? spans[mark->kind].first : (unsigned)WAY_PROPERTY_AGAIN;
  const size_t n = spans[mark->kind].end - first;
  WayMarkProperty* const p = begin_object(m, w, mark, n);
  if (!p) return;
  memcpy(p, &m->blank[first], n * sizeof(*p));
  if (first == WAY_PROPERTY_AGAIN) {
    p[WAY_PROPERTY_AGAIN].value.narrow[0] = mark->again;
    p[WAY_PROPERTY_EARLY].value.narrow[0] = mark->early;
  }
  if (first < WAY_PROPERTY_PLACE)
    way_mark_put_note(p + (WAY_PROPERTY_NOTE - first), mark->pitch, &mark->role);
  if (spans[mark->kind].end > WAY_PROPERTY_PLACE)
    put_place(p + (WAY_PROPERTY_PLACE - first), mark);
}

void way_mark_send_text(const WayMarkWriter* m, WayEventWriter* w,
                        const WayMark* mark) {
  char words[WAY_MARK_TEXT_MAX];
  WayOut out = way_out(words, sizeof(words));
  way_mark_write(mark, &out);
  way_writer_atom(w, mark->frame, m->string, words, (uint32_t)out.size + 1);
}
