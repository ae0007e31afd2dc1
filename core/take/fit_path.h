// A melody moved as a whole: the pitches that cost least and keep its shape.
#ifndef WAY_TAKE_FIT_PATH_H
#define WAY_TAKE_FIT_PATH_H

#include "base/status.h"

#include <stdbool.h>

/// One note of the melody, and where it may go.
typedef struct {
  uint64_t to[2];  ///< Bit n of both words in a row: it may be MIDI note n
  uint32_t price;  ///< Of leaving it where it is although `to` does not hold that
  uint16_t weight; ///< Of moving it by a semitone
  uint8_t pitch;   ///< Where it is: a MIDI note
} WayFitStep;

/// What a way through the notes costs.  The first that differs decides.
typedef struct {
  uint64_t left;  ///< Prices of notes left outside
  uint64_t moved; ///< Semitones moved, each times its note's weight
  uint64_t bent;  ///< Semitones by which the intervals from note to note change
} WayFitCost;

/// Whether `to` of a step holds a pitch (0..127).
static inline bool way_fit_step_has(const WayFitStep* s, unsigned pitch) {
  return s->to[pitch >> 6] >> (pitch & 63) & 1u;
}
/// What note `i` at `pitch`, reached from note `i - 1` at `from` (ignored for the
/// first), adds to the cost.
WayFitCost way_fit_cost(const WayFitStep* steps, size_t i, uint8_t from, uint8_t pitch);
/**
   Find the cheapest pitches.

   Each note goes to a pitch of its `to` or stays.  From note to note the line goes up
   where it went up, down where it went down, and repeats where it repeated; so leaving
   all notes alone is always a way.  Of all ways that keep this shape it is one whose
   #WayFitCost is least.

   @param out   Receives `n` pitches; left untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.  Time and memory are linear in `n`.
*/
WayStatus way_fit_path(const WayFitStep* steps, size_t n, uint8_t* out);

#endif
