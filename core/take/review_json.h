// A review as JSON, written as it goes so that a long take needs no more memory.
#ifndef WAY_TAKE_REVIEW_JSON_H
#define WAY_TAKE_REVIEW_JSON_H

#include "take/review.h"

#include <stdio.h>

/// What stands at the head of a review.
typedef struct {
  const char* take;  ///< Name of the file; any bytes
  const char* title; ///< Of the chart
  WayText track;     ///< Name of the track; any bytes
} WayReviewHead;

/**
   Write a review as one line of JSON.  The keys are listed in docs/review.md.

   Bytes that are not UTF-8 are written as U+FFFD.  Write errors stay in `to`, for
   ferror().
   @return #WAY_OK, or #WAY_ERR_NO_MEMORY with nothing written.
*/
WayStatus way_review_json(const WayReview* review, const WayReviewHead* head, FILE* to);

#endif
