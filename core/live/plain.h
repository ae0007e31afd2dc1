// The short way of plain notes.
//
// Nearly every note is played while nothing is due, over a chord that is known and had
// its landing, with nothing to move or leave out.  Such a note is sent, entered and
// marked, and that is all; here it takes no call.  What comes out is the same as by
// way_engine_midi().
#ifndef WAY_LIVE_PLAIN_H
#define WAY_LIVE_PLAIN_H

#include "live/engine.h"
#include "live/handle.h"

/// A key is struck; as way_engine_plain().
WAY_INLINE bool way_engine_plain_strike(WayEngine* e, const WaySink* sink,
                                        int64_t frame, WayNoteWord on) {
  if (e->landing_open || e->last_role.role == WAY_ROLE_CHROMATIC) return false;
  const WayKeyIndex key = way_key_index(on, on >> 8);
  const uint8_t pitch = way_key_number(key), velocity = (uint8_t)(on >> 16);
  const WayRoleOf* const role = &e->now->roles[pitch % 12u];
  const WayKeyIndex note = way_key_index(
      way_handle_channel(e->tag_channel, role->role, way_key_channel(key)), pitch);
  if (!way_ledger_silent(&e->ledger, key, note)) return false;
  if (!sink->note(sink->to, frame, way_ledger_word(0x90, note, velocity))) return true;
  way_ledger_enter(&e->ledger, key, note, velocity, true);
  e->line = e->last_pitch = pitch;
  e->last_role = *role;
  if (sink->mark) {
    const WayMark m = {.frame = frame,
                       .chord = &e->now->chord,
                       .kind = WAY_MARK_ROLE,
                       .pitch = pitch,
                       .role = *role};
    sink->mark(sink->to, &m);
  }
  return true;
}

/**
   Take a message of three bytes from the melody input if it is a plain note.

   @param message Its bytes, from the lowest up.
   @return Whether it was: if not nothing was done, and it is one for way_engine_midi().
   @par Real-time safe.
*/
WAY_INLINE bool way_engine_plain(WayEngine* e, const WaySink* sink, int64_t frame,
                                 WayNoteWord message) {
  if (frame >= e->plain_until || (message & 0x8080E0u) != 0x80u) return false;
  return message & 0x10 && message >> 16
             ? way_engine_plain_strike(e, sink, frame, message)
             : way_ledger_lift_alone(&e->ledger, sink, frame, message);
}

#endif
