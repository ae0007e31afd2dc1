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

#include <stdlib.h>

/// Whether a note resolves the one before it: that was chromatic, this one is not and
/// lies a semitone or a whole tone away.
static inline bool way_engine_resolves(const WayEngine* e, uint8_t pitch,
                                       const WayRoleOf* role) {
  if (e->last_role.role != WAY_ROLE_CHROMATIC || e->last_pitch == WAY_UNHELD)
    return false;
  const int step = abs(pitch - e->last_pitch);
  return role->role != WAY_ROLE_CHROMATIC && (step == 1 || step == 2);
}

/// What became of a message.
typedef enum {
  WAY_PLAIN_NOT,      ///< Not a plain note; nothing was done
  WAY_PLAIN_SENT,     ///< A note-off, or a note-on that found no room: no mark is due
  WAY_PLAIN_ROLE,     ///< A note-on: a mark of its role is due
  WAY_PLAIN_RESOLVES, ///< The same, and a mark of a resolution
} WayPlain;

/// A key is struck; as way_engine_plain().
WAY_INLINE WayPlain way_engine_plain_strike(WayEngine* e, const WaySink* sink,
                                            int64_t frame, WayNoteWord on) {
  const WayKeyIndex key = way_key_index(on, on >> 8);
  const uint8_t pitch = way_key_number(key), velocity = (uint8_t)(on >> 16);
  const WayRoleOf* const role = &e->now->roles[pitch % 12u];
  const WayKeyIndex note = way_key_index(
      way_handle_channel(e->intake.tag_channel, role->role, way_key_channel(key)),
      pitch);
  if (e->landing_open || !way_ledger_silent(&e->ledger, key, note))
    return WAY_PLAIN_NOT;
  if (!sink->note(sink->to, frame, way_ledger_word(0x90, note, velocity)))
    return WAY_PLAIN_SENT;
  const bool resolves = way_engine_resolves(e, pitch, role);
  way_ledger_enter(&e->ledger, key, note, velocity, true);
  e->line = e->last_pitch = pitch;
  e->last_role = *role;
  return resolves ? WAY_PLAIN_RESOLVES : WAY_PLAIN_ROLE;
}

/**
   Take a message of three bytes from the melody input if it is a plain note.

   Marks are left to the caller: they are of the note `last_pitch`, which is `last_role`
   over `now`.
   @param message Its bytes, from the lowest up.
   @param sink    Only its `note` is used.
   @par Real-time safe.
*/
WAY_INLINE WayPlain way_engine_plain(WayEngine* e, const WaySink* sink, int64_t frame,
                                     WayNoteWord message) {
  if (frame >= e->plain_until || (message & 0x8080E0u) != 0x80u) return WAY_PLAIN_NOT;
  if (message & 0x10 && message >> 16)
    return way_engine_plain_strike(e, sink, frame, message);
  return way_ledger_lift_alone(&e->ledger, sink, frame, message) ? WAY_PLAIN_SENT
                                                                 : WAY_PLAIN_NOT;
}

#endif
