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
  LV2_URID string;                           ///< Of its words
  LV2_URID types[WAY_MARK_COUNT];            ///< What each kind is an object of
  WayMarkProperty blank[WAY_PROPERTY_COUNT]; ///< Without their values
  WayMarkObject plain; ///< The same of a role or resolution of a note that began now
} WayMarkWriter;

/// The note-off that ends a lane's note.
static inline WayNoteWord way_lane_off(const WayLanes* lanes, unsigned lane) {
  return way_note_word(0x80u | lanes->notes[lane].channel, way_lanes[lane].note,
                       WAY_LANE_RELEASE);
}

/// The note-on of a mark on its lane.
static inline WayNoteWord way_lane_on(unsigned lane, uint8_t velocity,
                                      uint8_t channel) {
  return way_note_word(0x90u | channel, way_lanes[lane].note, velocity);
}

/// Nothing written yet.  @par Real-time safe.
void way_mark_writer_init(WayMarkWriter* m, const WayUrids* urids);
/// Strike the lane of a mark, and append the mark as an object; what finds no room is
/// left out.  @param channel 0..15.  @par Real-time safe.
void way_mark_send(const WayMarkWriter* m, WayLanes* lanes, WayEventWriter* w,
                   const WayMark* mark, uint8_t channel);

/// Append the words of a mark, as way_mark_write() has them; without room nothing is
/// sent.  @par Real-time safe.
void way_mark_send_text(const WayMarkWriter* m, WayEventWriter* w, const WayMark* mark);

/// Fill in what marks of notes have.
/// @param p Where these properties begin.
static inline void way_mark_put_note(WayMarkProperty* p, uint8_t pitch,
                                     const WayRoleOf* role) {
  p[0].value.narrow[0] = pitch;
  p[1].value.narrow[0] = role->role;
  p[2].value.narrow[0] = role->interval;
  p[3].value.narrow[0] = role->degree.number;
}

/// Note that a lane's note was sent.
static inline void way_lanes_enter(WayLanes* lanes, unsigned lane, int64_t frame,
                                   uint8_t channel) {
  lanes->sounding |= 1u << lane;
  lanes->notes[lane] = (WayLaneNote){frame + lanes->length, channel};
  if (lanes->next > lanes->notes[lane].end) lanes->next = lanes->notes[lane].end;
}

/// Bytes of the object of a role or resolution.
#define WAY_PLAIN_SIZE                                                                 \
  (offsetof(WayMarkObject, properties) +                                               \
   (WAY_PROPERTY_PLACE - WAY_PROPERTY_NOTE) * sizeof(WayMarkProperty))

/**
   Send the mark of a note that begins now, as way_mark_send() does; see
   way_writer_risen() for its frame.

   Every note has a role, so all three events are written in one go, without loops or
   calls.
   @param lane The index of the mark's lane.
   @return Whether there was room; if not nothing was written.
*/
WAY_INLINE bool way_mark_send_plain(const WayMarkWriter* m, WayLanes* lanes,
                                    WayEventWriter* w, int64_t frame, WayMarkKind kind,
                                    unsigned lane, uint8_t pitch, const WayRoleOf* role,
                                    uint8_t channel) {
  way_lanes_end(lanes, w, frame);
  if ((size_t)(w->end - w->at) < 2 * WAY_SHORT_STEP + WAY_PLAIN_SIZE) return false;
  const int64_t at_frame = way_writer_risen(w, frame);
  uint8_t* at = w->at;
  if (lanes->sounding >> lane & 1)
    at = way_put_note(at, at_frame, w->note, way_lane_off(lanes, lane));
  at = way_put_note(at, at_frame, w->note,
                    way_lane_on(lane, way_mark_note_velocity(role), channel));
  way_lanes_enter(lanes, lane, frame, channel);
  WayMarkObject* const o = (WayMarkObject*)(void*)at;
  memcpy(o, &m->plain, WAY_PLAIN_SIZE);
  o->event.time.frames = at_frame;
  o->object.otype = m->types[kind];
  way_mark_put_note(o->properties, pitch, role);
  w->at = at + WAY_PLAIN_SIZE;
  return true;
}

#endif
