// What the guide tells a screen that asked: place, chord, notes.  docs/marks.md is for
// other programs; this is for our own window.
#ifndef WAY_PLUGIN_SCREEN_IO_H
#define WAY_PLUGIN_SCREEN_IO_H

#include "live/engine.h"
#include "midi_io.h"
#include "screen_wire.h"

#include <lv2/atom/forge.h>

/// How long a screen is told after it asked, in seconds: it asks again while it is
/// open.
#define WAY_SCREEN_LEASE 4.0
/// Most messages a second.
#define WAY_SCREEN_RATE 50.0

/// What a message said last.
typedef struct {
  WayTick tick;
  double speed; ///< Ticks a second
  uint8_t from; ///< A #WayChordFrom
  bool tags_refused;
  WayChord chord;
  WayKey key;
} WayScreenSaid;

/// A screen's side of an instance.  Fields are private.
typedef struct {
  int64_t until;   ///< A screen is told before this frame; INT64_MIN if none is
  int64_t due;     ///< Next look at whether there is something to tell
  int64_t soonest; ///< No message before this frame
  int64_t step;    ///< Frames from message to message
  int64_t lease;   ///< Frames a screen is told after it asked
  double rate;
  bool fresh; ///< Somebody asked: tell all
  WayScreenSaid said;
  unsigned n;                              ///< Records that wait
  WayWireRecord records[WAY_WIRE_RECORDS]; ///< When they are full the oldest go
  WayTick ticks[WAY_WIRE_RECORDS];         ///< When each was
  LV2_Atom_Forge forge;
} WayScreenIo;

/// Nobody asked.  Not real-time safe.
void way_screen_io_init(WayScreenIo* s, double rate, LV2_URID_Map* map);
/// A screen asks.  @par Real-time safe.
void way_screen_io_ask(WayScreenIo* s, int64_t frame);
/// Nobody is told any more.  @par Real-time safe.
void way_screen_io_end(WayScreenIo* s);
/// Whether a screen is told.
static inline bool way_screen_io_open(const WayScreenIo* s) {
  return s->until != INT64_MIN;
}
/// A note message was sent.  @par Real-time safe.
void way_screen_io_note(WayScreenIo* s, WayTick tick, WayNoteWord note);
/// A mark was made.  @par Real-time safe.
void way_screen_io_mark(WayScreenIo* s, WayTick tick, const WayMark* mark);
/**
   Tell what changed, at most so often as a screen can show it.

   Call it for every busy block while a screen is open, as the last that writes.
   @param end The frame after the block.
   @return The first frame at which it needs to be called again.
   @par Real-time safe.
*/
int64_t way_screen_io_tell(WayScreenIo* s, const WayUrids* urids, const WayEngine* e,
                           const WayTimeline* t, const WayClock* clock,
                           WayEventWriter* w, int64_t end);

#endif
