#include "mark_io.h"

#include "live/sink.h"

#include <stddef.h>

#define RELEASE 64u       ///< Velocity of every note-off
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

/// Send the end of a lane's note and forget it.
static inline bool end_note(WayLanes* lanes, WayEventWriter* w, unsigned lane,
                            int64_t frame) {
  const unsigned off = 0x80u | lanes->notes[lane].channel;
  if (!way_writer_note(w, frame, way_note_word(off, way_lanes[lane].note, RELEASE)))
    return false;
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

static inline void strike(WayLanes* lanes, WayEventWriter* w, const WayMark* mark,
                          uint8_t channel) {
  const unsigned lane = way_mark_lane(mark);
  if (lanes->sounding >> lane & 1 && !end_note(lanes, w, lane, mark->frame)) return;
  const WayNoteWord on =
      way_note_word(0x90u | channel, way_lanes[lane].note, way_mark_velocity(mark));
  if (!way_writer_note(w, mark->frame, on)) return;
  lanes->sounding |= 1u << lane;
  lanes->notes[lane] = (WayLaneNote){mark->frame + lanes->length, channel};
  if (lanes->next > lanes->notes[lane].end) lanes->next = lanes->notes[lane].end;
}

void way_lanes_strike(WayLanes* lanes, WayEventWriter* w, const WayMark* mark,
                      uint8_t channel) {
  strike(lanes, w, mark, channel);
}

/// Properties in the order they lie in.
enum {
  AGAIN,
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
/// that is marked again, or early, has AGAIN and EARLY before them.
static const struct {
  uint8_t first, end;
} spans[WAY_MARK_COUNT] = {
    [WAY_MARK_ROLE] = {NOTE, NOTE_END},       [WAY_MARK_LANDING] = {NOTE, LANDING_END},
    [WAY_MARK_CHANGE] = {PLACE, PLACE_END},   [WAY_MARK_TOP] = {PLACE, PLACE_END},
    [WAY_MARK_RESOLUTION] = {NOTE, NOTE_END},
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
                [WAY_MARK_TOP] = u->Top,
                [WAY_MARK_RESOLUTION] = u->Resolution},
      .blank = {[AGAIN] = {.key = u->again, .type = truth},
                [EARLY] = {.key = u->early, .type = truth},
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

/// Fill in what marks of notes have.
/// @param p Where its properties begin with NOTE.
static inline void put_note(WayMarkProperty* p, const WayMark* mark) {
  p[PITCH - NOTE].value.narrow[0] = mark->pitch;
  p[ROLE - NOTE].value.narrow[0] = mark->role.role;
  p[INTERVAL - NOTE].value.narrow[0] = mark->role.interval;
  p[DEGREE - NOTE].value.narrow[0] = mark->role.degree.number;
}

/// Begin an object of `n` properties; NULL if there is no room.
static inline WayMarkProperty* begin_object(const WayMarkWriter* m, WayEventWriter* w,
                                            const WayMark* mark, size_t n) {
  const size_t size = offsetof(WayMarkObject, properties) + n * sizeof(WayMarkProperty);
  if ((size_t)(w->end - w->at) < size) return NULL;
  WayMarkObject* const o = (WayMarkObject*)(void*)w->at;
  w->at += size;
  o->event.time.frames = way_writer_frame(w, mark->frame);
  o->event.body = (LV2_Atom){(uint32_t)(size - sizeof(LV2_Atom_Event)), m->object};
  o->object = (LV2_Atom_Object_Body){0, m->types[mark->kind]};
  return o->properties;
}

/// Whether a mark has nothing before its usual properties.
static inline bool is_plain(const WayMark* mark) {
  return !mark->again && !mark->early;
}

/// Append a mark of any kind.
static WAY_NOINLINE void put_any(const WayMarkWriter* m, WayEventWriter* w,
                                 const WayMark* mark) {
  const unsigned first = is_plain(mark) ? spans[mark->kind].first : (unsigned)AGAIN;
  const size_t n = spans[mark->kind].end - first;
  WayMarkProperty* const p = begin_object(m, w, mark, n);
  if (!p) return;
  memcpy(p, &m->blank[first], n * sizeof(*p));
  if (first == AGAIN) {
    p[AGAIN].value.narrow[0] = mark->again;
    p[EARLY].value.narrow[0] = mark->early;
  }
  if (first < NOTE_END) put_note(p + (NOTE - first), mark);
  if (spans[mark->kind].end > PLACE) put_place(p + (PLACE - first), mark);
}

void way_mark_send(const WayMarkWriter* m, WayLanes* lanes, WayEventWriter* w,
                   const WayMark* mark, uint8_t channel) {
  way_lanes_end(lanes, w, mark->frame);
  strike(lanes, w, mark, channel);
  // Every note has a role, so these take no loop and no call.
  if (mark->kind != WAY_MARK_ROLE || !is_plain(mark)) {
    put_any(m, w, mark);
    return;
  }
  WayMarkProperty* const p = begin_object(m, w, mark, NOTE_END - NOTE);
  if (!p) return;
  memcpy(p, &m->blank[NOTE], (NOTE_END - NOTE) * sizeof(*p));
  put_note(p, mark);
}
