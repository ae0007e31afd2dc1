// A review on paper, to be handed over: the picture, the tables and what to try next.
#ifndef WAY_DRAW_REPORT_H
#define WAY_DRAW_REPORT_H

#include "draw/canvas.h"
#include "take/review.h"

/**
   Write a review as PDF on A4 pages.

   The first page has everything; the picture gets what room is left there, a little
   smaller if that keeps it on the page, and goes on on pages of its own otherwise.
   @param title Of the chart; "" for none.
   @param name  Of the take.
   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @param size  Receives its size.
   @return #WAY_OK, #WAY_ERR_RANGE (too long for a picture) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_report(const WayReview* review, const char* title, const char* name,
                     char** bytes, size_t* size);

#endif
