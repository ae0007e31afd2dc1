// A walk through a take beside rising moments: what has begun, what still sounds.
#ifndef WAY_TAKE_WALK_H
#define WAY_TAKE_WALK_H

#include "take/take.h"

/// In place of a note's index: there is none.
#define WAY_NO_NOTE UINT32_MAX

/// A walk.  Borrows the take.
typedef struct {
  const WayTake* take;
  uint32_t next; ///< First note that has not been passed
  uint32_t n_sounding;
  uint32_t* sounding; ///< Notes passed that may still sound: latest begun last
} WayWalk;

/// Begin at the first note.  #WAY_ERR_NO_MEMORY, else to be ended by way_walk_free().
WayStatus way_walk_new(const WayTake* take, WayWalk* out);
/// Free what a walk holds.
void way_walk_free(WayWalk* walk);
/// Pass the notes that begin before `tick` (from the file's start); never goes back.
void way_walk_pass(WayWalk* walk, WayTick tick);
/// The latest begun of the notes passed that still sounds at `tick`; #WAY_NO_NOTE if
/// none does.  Ticks may only rise from call to call; all calls together are linear.
uint32_t way_walk_sounding(WayWalk* walk, WayTick tick);
/// The next note if it begins before `tick`, else #WAY_NO_NOTE.
uint32_t way_walk_next_before(const WayWalk* walk, WayTick tick);

#endif
