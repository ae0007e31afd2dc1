// The tables of a review: every note, every landing, every phrase, the totals.
#ifndef WAY_TAKE_REVIEW_TABLES_H
#define WAY_TAKE_REVIEW_TABLES_H

#include "take/review.h"

#include <stdio.h>

/// Write the tables.  The columns are explained in docs/review.md.  Write errors stay
/// in `to`, for ferror().
void way_review_tables(const WayReview* review, FILE* to);

#endif
