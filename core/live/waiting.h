// Outside notes that may turn out to lead into the material.
#ifndef WAY_LIVE_WAITING_H
#define WAY_LIVE_WAITING_H

#include "live/ledger.h"

/// How many can wait at once.
#define WAY_WAITING 8u

/// One of them.
typedef struct {
  int64_t due; ///< When it is handled; INT64_MAX if the place is free
  WayKeyIndex key;
  uint8_t pitch; ///< As it sounds
} WayWaitingNote;

/// All of them.  No pointers.  Read `due`; change all only through the functions.
typedef struct {
  int64_t due; ///< The first of their dues; INT64_MAX if none waits
  WayWaitingNote notes[WAY_WAITING];
} WayWaiting;

/// None waits.  @par Real-time safe.
WAY_RT void way_waiting_init(WayWaiting* w);
/// Let a note wait.  @return Whether there was room.  @par Real-time safe.
WAY_RT bool way_waiting_add(WayWaiting* w, WayWaitingNote note);
/**
   Another note begins: those it resolves wait no longer, nor does an earlier one of its
   key.  It resolves what lies a semitone or a whole tone away.

   @param pitch  As it sounds, 0..127.
   @param inside Whether it lies in the material; others resolve nothing.
   @par Real-time safe.
*/
WAY_RT void way_waiting_resolve(WayWaiting* w, WayKeyIndex key, uint8_t pitch,
                                bool inside);
/// Take a note that has waited until `frame`.  @param out Left untouched if there is
/// none.  @return Whether there was one.  @par Real-time safe.
WAY_RT bool way_waiting_take(WayWaiting* w, int64_t frame, WayWaitingNote* out);

#endif
