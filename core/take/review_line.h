// The line of a take: its top notes, what each does there, and where tensions go.
#ifndef WAY_TAKE_REVIEW_LINE_H
#define WAY_TAKE_REVIEW_LINE_H

#include "take/review.h"

/**
   Fill in `kind` and `resolves_to` of a review's notes, and their totals.

   Of notes that begin at once (#WAY_REVIEW_AT_ONCE) the highest is the line's.  A rest
   of a beat ends a phrase: what comes before it doesn't lead to what comes after.

   A tension resolves to the next basic chord tone of its phrase, at most three notes
   on, if that is no more than two semitones away; or to itself, if the chord changes
   to one that it is a basic tone of.

   @return #WAY_OK or #WAY_ERR_NO_MEMORY.  Linear.
*/
WayStatus way_review_line(WayReview* review);

#endif
