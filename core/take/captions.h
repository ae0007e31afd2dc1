// A take as captions for a video of it.
#ifndef WAY_TAKE_CAPTIONS_H
#define WAY_TAKE_CAPTIONS_H

#include "take/review.h"

#include <stdio.h>

/**
   Write captions as WebVTT (W3C, "WebVTT: The Web Video Text Tracks Format").

   One cue for each bar, and for each chord within it: the chord, its place and its
   landing, and below that the degrees of the notes as they are played, each timed
   within the cue and of a class for its role, with colours.  Seconds follow the file's
   tempo.

   @param title  Of the chart; "" for none.
   @param offset Second of the video at which the file begins; what lies before the
                 video is left out.
   @param to     Errors of the stream stay with it.
   @return #WAY_OK, #WAY_ERR_UNSUPPORTED (more bars than a review follows changes of
   chord) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_captions(const WayReview* review, const WaySmf* smf, const char* title,
                       double offset, FILE* to);

#endif
