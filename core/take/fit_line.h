// One line of a melody, fitted: where each of its notes may go, and where it goes.
#ifndef WAY_TAKE_FIT_LINE_H
#define WAY_TAKE_FIT_LINE_H

#include "take/fit.h"

/// What the lines of a take have in common while it is fitted.
typedef struct {
  const WaySmfTrack* track; ///< Of the take
  const WayFitChoice* choice;
  const WayTake* take;
  uint32_t* owner;   ///< By event of the track: the note it begins or ends, or
                     ///< #WAY_NO_NOTE
  uint8_t* in_line;  ///< By note of the take: it is in a line and may move
  WayFitNote* notes; ///< By note of the take: what became of it; of those that are in
                     ///< no line yet `why` is #WAY_FIT_WHY_COUNT
} WayFitter;

/**
   Fit one line, and tell in the fitter what became of its notes.

   A note moves to no key that a note of an earlier line, or of none, has on its channel
   meanwhile.

   @param notes The line: rising indices into the take's notes, `n` of them.
   @return #WAY_OK, #WAY_ERR_UNSUPPORTED (see way_review_new()) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_fit_line(WayFitter* f, const uint32_t* notes, uint32_t n);

#endif
