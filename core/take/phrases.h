// The phrases of a take: where one line of thought ends and the next begins.
// The rule and its reasons are in docs/review.md.
#ifndef WAY_TAKE_PHRASES_H
#define WAY_TAKE_PHRASES_H

#include "take/take.h"

/// One phrase: neighbouring notes of a take.
typedef struct {
  uint32_t first, last; ///< Indices into the take's notes; `last` counts
  WayTick start;        ///< Of its first note, in ticks of music from the file's start
  WayTick end;          ///< Where its last sound ends
  WayTick space;        ///< Silence between it and the next phrase; 0 behind the last
  uint8_t low, high;    ///< Lowest and highest pitch
} WayPhrase;

/**
   Find the phrases of a take.  Every note belongs to one.

   @param bar  Length of a bar, in ticks, at least 1: phrases that begin at like places
               of the bar support each other.
   @param out  Receives a new list in order, to be freed with free(); left untouched on
               error.
   @param n    Receives its length: 0 (and NULL) for a take without notes.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.  Linear in time and memory.
*/
WayStatus way_phrases(const WayTake* take, WayTick bar, WayPhrase** out, uint32_t* n);

#endif
