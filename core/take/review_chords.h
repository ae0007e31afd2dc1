// Landings summed up chord by chord.
#ifndef WAY_TAKE_REVIEW_CHORDS_H
#define WAY_TAKE_REVIEW_CHORDS_H

#include "take/review.h"

/// The landings on one chord.
typedef struct {
  uint32_t harmony;    ///< Index into the timeline's harmonies
  uint32_t changes;    ///< How often it arrives
  uint32_t landed[12]; ///< Landing notes by semitones above the root
  uint32_t first;      ///< Its first landing
} WayChordLandings;

/**
   Sum up a review's landings by chord, in the order of their first arrival.

   @param out Receives a new list, to be freed with free(); left untouched on error.
   @param n   Receives its length.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.  Linear.
*/
WayStatus way_review_chords(const WayReview* review, WayChordLandings** out,
                            uint32_t* n);
/// Whether a tone of the chord has not been landed on.
bool way_chord_landings_open(const WayChordLandings* c, WayDegree tone);

#endif
