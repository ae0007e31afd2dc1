// A review as text for a terminal.
#ifndef WAY_TAKE_REVIEW_TEXT_H
#define WAY_TAKE_REVIEW_TEXT_H

#include "take/review_json.h"

/**
   Write a review as tables: each note, each landing, the totals.

   The columns are explained in docs/review.md.  Write errors stay in `to`, for
   ferror().
*/
void way_review_text(const WayReview* review, const WayReviewHead* head, FILE* to);

#endif
