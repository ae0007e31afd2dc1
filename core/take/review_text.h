// A review as text for a terminal.
#ifndef WAY_TAKE_REVIEW_TEXT_H
#define WAY_TAKE_REVIEW_TEXT_H

#include "take/review_json.h"

/**
   Write a review as a report of a page; with `tables`, every note, every landing and
   the totals before it, so that a terminal ends on the page.

   All of it is explained in docs/review.md.  Write errors stay in `to`, for ferror().
   @return #WAY_OK, or #WAY_ERR_NO_MEMORY with nothing written.
*/
WayStatus way_review_text(const WayReview* review, const WayReviewHead* head,
                          bool tables, FILE* to);

#endif
