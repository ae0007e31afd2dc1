// The practice log as a picture: how measures of a tune's takes move, and on which days
// there were takes.
#ifndef WAY_DRAW_TREND_H
#define WAY_DRAW_TREND_H

#include "draw/canvas.h"
#include "take/figures.h"

/// Days that the strip at the top shows, the last one at its right end.
#define WAY_TREND_DAYS 84u
/// Takes of one tune that a line shows: the latest.
#define WAY_TREND_TAKES 60u

/**
   Draw a log.

   One block a tune; in it one small line chart for each measure there is, take by take.
   A thin line shows the share in published solos where one is known.
   @param takes By tune, then in order of time.
   @param days  Rising, each once.
   @param kind  #WAY_CANVAS_SVG, or another.
   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @param size  Receives its size.
   @return As way_canvas_write().
*/
WayStatus way_trend(const WayLogTake* takes, uint32_t n, const WayDay* days,
                    uint32_t n_days, WayCanvasKind kind, char** bytes, size_t* size);

#endif
