// The notes of a backing's parts for one chorus: comping, bass, click, and the chords
// as the guide hears them.
#ifndef WAY_TAKE_BACKING_PARTS_H
#define WAY_TAKE_BACKING_PARTS_H

#include "take/backing.h"

/// One note of a chorus.
typedef struct {
  WayTick start, end; ///< From the top
  uint8_t key, velocity;
} WayPartNote;

/// The notes of one part.  Starts as `{0}`.
typedef struct {
  uint32_t n, room;
  WayPartNote* notes; ///< By start; to be freed with free()
} WayPartNotes;

/**
   Make the notes of every part for one chorus.

   @param out Receives them, by #WayPart; to be ended by way_backing_parts_clear() on
              error, too.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_backing_parts(const WayTimeline* timeline, const WayBackingChoice* choice,
                            WayPartNotes out[WAY_PART_COUNT]);
/// Free what way_backing_parts() made.
void way_backing_parts_clear(WayPartNotes parts[WAY_PART_COUNT]);
/// The click on a beat, from 0, of the bar that begins at a tick.
WayPartNote way_backing_click(const WayBackingChoice* choice, WayTick bar,
                              WayMetre metre, int beat);

#endif
