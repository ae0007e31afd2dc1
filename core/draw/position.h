// Hand positions on a fretboard, and which of them suits a set of notes best.
#ifndef WAY_DRAW_POSITION_H
#define WAY_DRAW_POSITION_H

#include "draw/tuning.h"
#include "theory/pitch.h"

/// How far from the nut, or the capo, positions are looked for.
#define WAY_POSITIONS 12u

/// One hand position, and how a set of notes lies in it.
typedef struct {
  uint8_t position;    ///< Fret of the first finger
  uint8_t first, last; ///< Frets of the window: the position and its stretches
  uint8_t stretches;   ///< Notes that only a stretch reaches
  uint8_t gaps;        ///< Notes that cannot be reached
  uint8_t low;         ///< MIDI note of the lowest note; 255 if there is none
} WayPosition;

/**
   How a set lies in a position.

   One finger a fret: in position p the four fingers stand over the frets p to p + 3,
   and the first and the fourth can stretch a fret further, to p - 1 and p + 4.  Every
   pitch of the set counts once, from the lowest to the highest that lies under the
   fingers: it lies under a finger; or it is a stretch; or, out of reach, a gap.  In the
   position next to the nut or capo the open strings can be played, too.  The window is
   the frets under the fingers and those that stretches go to; where a stretch could go
   either way, it goes where another must, else to the first finger's.

   @param position capo + 1 .. capo + #WAY_POSITIONS.
*/
WayPosition way_position_at(const WayTuning* tuning, unsigned capo, WayPcSet set,
                            unsigned position);
/**
   The best position for a set: the one with the fewest gaps; of these, with the fewest
   stretches; of these, one whose lowest note is the root; of these, the nearest to the
   nut.
*/
WayPosition way_position_best(const WayTuning* tuning, unsigned capo, WayPcSet set,
                              WayPc root);

#endif
