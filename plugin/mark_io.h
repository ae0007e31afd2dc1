// Marks as they leave: short notes on lanes, and objects (ttl/vocabulary.ttl).
#ifndef WAY_PLUGIN_MARK_IO_H
#define WAY_PLUGIN_MARK_IO_H

#include "live/mark.h"
#include "midi_io.h"

/// A lane note that sounds.
typedef struct {
  int64_t end;     ///< When it ends, in the engine's clock
  uint8_t channel; ///< It was sent on, 0..15
} WayLaneNote;

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

/// Most properties a mark has.
#define WAY_MARK_PROPERTIES 14u

/// A mark as it lies in a sequence.  Marks without a note end early.
typedef struct {
  LV2_Atom_Event event;
  LV2_Atom_Object_Body object;
  WayMarkProperty properties[WAY_MARK_PROPERTIES];
} WayMarkObject;

/// What marks have in common: all but the values is written once.
typedef struct {
  LV2_URID object;                            ///< Type of every mark
  LV2_URID types[WAY_MARK_COUNT];             ///< What each kind is an object of
  WayMarkProperty blank[WAY_MARK_PROPERTIES]; ///< Without their values
} WayMarkWriter;

/// Nothing written yet.  @par Real-time safe.
void way_mark_writer_init(WayMarkWriter* m, const WayUrids* urids);
/// Strike the lane of a mark, and append the mark as an object; what finds no room is
/// left out.  @param channel 0..15.  @par Real-time safe.
void way_mark_send(const WayMarkWriter* m, WayLanes* lanes, WayEventWriter* w,
                   const WayMark* mark, uint8_t channel);

#endif
