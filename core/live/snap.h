// Moving a pitch into a set.
#ifndef WAY_LIVE_SNAP_H
#define WAY_LIVE_SNAP_H

#include "live/settings.h"

/**
   The note of `set` that `pitch` moves to.

   A pitch of the set stays.  With #WAY_SNAP_NEAREST, where both sides are equally near,
   the note moves on the way the line goes: up if `from` lies below `pitch`, down if it
   lies above.  Without a line (`from` equals `pitch`, or is above 127) it moves down,
   as suspensions resolve.  Where the range of MIDI ends before the set has a note on
   the side asked for, the nearest note of the set on the other side is taken.

   @param pitch 0..127.
   @param set   An empty set moves nothing.
   @param from  The note that sounded before, 0..127, or #WAY_UNHELD.
   @return 0..127.
   @par Real-time safe: at most 11 steps each way.
*/
WAY_RT uint8_t way_snap_pitch(uint8_t pitch, WayPcSet set, WaySnap how, uint8_t from);

#endif
