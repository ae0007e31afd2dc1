// Marks as they leave: short notes on lanes, and objects (ttl/vocabulary.ttl).
#ifndef WAY_PLUGIN_MARK_IO_H
#define WAY_PLUGIN_MARK_IO_H

#include "live/sink.h"
#include "midi_io.h"

#include <stddef.h>

/// A lane note that sounds.
typedef struct {
  int64_t end;     ///< When it ends, in the engine's clock
  uint8_t channel; ///< It was sent on, 0..15
} WayLaneNote;

/// Velocity of the note-offs of lanes: the MIDI standard's middle value.
#define WAY_LANE_RELEASE 64u

/// Lane notes that sound on one output.  Fields are private.
typedef struct {
  int64_t next;      ///< None of them ends before this; INT64_MAX if none sounds
  int64_t length;    ///< Frames a lane note lasts
  unsigned sounding; ///< Bit n: lane n sounds
  WayLaneNote notes[WAY_LANE_COUNT]; ///< By lane
} WayLanes;

/// Nothing sounds.  @param rate Frames per second.  @par Real-time safe.
void way_lanes_init(WayLanes* lanes, double rate);
/// Let every note end at `frame`.  @par Real-time safe.
void way_lanes_cut(WayLanes* lanes, int64_t frame);
/// Write the ends due at or before `frame`; use way_lanes_end().  @par Real-time safe.
void way_lanes_end_due(WayLanes* lanes, WayEventWriter* w, int64_t frame);
/// Write the ends due at or before `frame`; one that finds no room stays due.  Call it
/// before anything else is written at `frame`.  @par Real-time safe.
static inline void way_lanes_end(WayLanes* lanes, WayEventWriter* w, int64_t frame) {
  if (lanes->next <= frame) way_lanes_end_due(lanes, w, frame);
}
/**
   Strike the lane of a mark; without room nothing is sent.

   @param channel 0..15.
   @par Real-time safe.
*/
void way_lanes_strike(WayLanes* lanes, WayEventWriter* w, const WayMark* mark,
                      uint8_t channel);

/// One property of an object, as it lies in memory.
typedef struct {
  LV2_URID key;
  LV2_URID context;
  LV2_Atom type;
  union {
    int64_t wide;      ///< A Long
    int32_t narrow[2]; ///< An Int or Bool, and its padding
  } value;
} WayMarkProperty;

/// Properties in the order they lie in.  Each kind of mark has a stretch of them.
enum {
  WAY_PROPERTY_AGAIN,
  WAY_PROPERTY_EARLY,
  WAY_PROPERTY_NOTE, ///< From here on what marks of notes have
  WAY_PROPERTY_PITCH = WAY_PROPERTY_NOTE,
  WAY_PROPERTY_ROLE,
  WAY_PROPERTY_INTERVAL,
  WAY_PROPERTY_DEGREE,
  WAY_PROPERTY_PLACE, ///< From here on what all have but roles and resolutions
  WAY_PROPERTY_TICK = WAY_PROPERTY_PLACE,
  WAY_PROPERTY_CHORUS,
  WAY_PROPERTY_BAR,
  WAY_PROPERTY_ROOT,
  WAY_PROPERTY_ROOT_LETTER,
  WAY_PROPERTY_TONES,
  WAY_PROPERTY_LANDING,
  WAY_PROPERTY_HELD_OVER,
  WAY_PROPERTY_COUNT,
};

/// A mark as it lies in a sequence.  Marks without a note end early.
typedef struct {
  LV2_Atom_Event event;
  LV2_Atom_Object_Body object;
  WayMarkProperty properties[WAY_PROPERTY_COUNT];
} WayMarkObject;

/// What marks have in common: all but the values is written once.
typedef struct {
  LV2_URID object;                           ///< Type of every mark
  LV2_URID types[WAY_MARK_COUNT];            ///< What each kind is an object of
  WayMarkProperty blank[WAY_PROPERTY_COUNT]; ///< Without their values
} WayMarkWriter;

/// Nothing written yet.  @par Real-time safe.
void way_mark_writer_init(WayMarkWriter* m, const WayUrids* urids);
/// Strike the lane of a mark, and append the mark as an object; what finds no room is
/// left out.  @param channel 0..15.  @par Real-time safe.
void way_mark_send(const WayMarkWriter* m, WayLanes* lanes, WayEventWriter* w,
                   const WayMark* mark, uint8_t channel);

// Every note has a role, so marks of roles are written without loops and calls.

/// Send the end of a lane's note and forget it.  @return Whether there was room.
WAY_INLINE bool way_lanes_end_note(WayLanes* lanes, WayEventWriter* w, unsigned lane,
                                   int64_t frame) {
  const unsigned off = 0x80u | lanes->notes[lane].channel;
  const WayNoteWord end = way_note_word(off, way_lanes[lane].note, WAY_LANE_RELEASE);
  if (!way_writer_note(w, frame, end)) return false;
  lanes->sounding &= ~(1u << lane);
  return true;
}

/// As way_lanes_strike().
WAY_INLINE void way_lanes_strike_inline(WayLanes* lanes, WayEventWriter* w,
                                        const WayMark* mark, uint8_t channel) {
  const unsigned lane = way_mark_lane(mark);
  if (lanes->sounding >> lane & 1 && !way_lanes_end_note(lanes, w, lane, mark->frame))
    return;
  const WayNoteWord on =
      way_note_word(0x90u | channel, way_lanes[lane].note, way_mark_velocity(mark));
  if (!way_writer_note(w, mark->frame, on)) return;
  lanes->sounding |= 1u << lane;
  lanes->notes[lane] = (WayLaneNote){mark->frame + lanes->length, channel};
  if (lanes->next > lanes->notes[lane].end) lanes->next = lanes->notes[lane].end;
}

/// Begin an object of `n` properties; NULL if there is no room.
WAY_INLINE WayMarkProperty* way_mark_begin(const WayMarkWriter* m, WayEventWriter* w,
                                           const WayMark* mark, size_t n) {
  const size_t size = offsetof(WayMarkObject, properties) + n * sizeof(WayMarkProperty);
  WayMarkObject* const o =
      (WayMarkObject*)(void*)way_writer_event(w, mark->frame, size);
  if (!o) return NULL;
  o->event.body = (LV2_Atom){(uint32_t)(size - sizeof(LV2_Atom_Event)), m->object};
  o->object = (LV2_Atom_Object_Body){0, m->types[mark->kind]};
  return o->properties;
}

/// Fill in what marks of notes have.
/// @param p Where these properties begin.
WAY_INLINE void way_mark_put_note(WayMarkProperty* p, const WayMark* mark) {
  p[0].value.narrow[0] = mark->pitch;
  p[1].value.narrow[0] = mark->role.role;
  p[2].value.narrow[0] = mark->role.interval;
  p[3].value.narrow[0] = mark->role.degree.number;
}

/// way_mark_send() of the role of a note that began now, over the chord of now.
WAY_INLINE void way_mark_send_role(const WayMarkWriter* m, WayLanes* lanes,
                                   WayEventWriter* w, const WayMark* mark,
                                   uint8_t channel) {
  way_lanes_end(lanes, w, mark->frame);
  way_lanes_strike_inline(lanes, w, mark, channel);
  const size_t n = WAY_PROPERTY_PLACE - WAY_PROPERTY_NOTE;
  WayMarkProperty* const p = way_mark_begin(m, w, mark, n);
  if (!p) return;
  memcpy(p, &m->blank[WAY_PROPERTY_NOTE], n * sizeof(*p));
  way_mark_put_note(p, mark);
}

#endif
