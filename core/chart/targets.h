// What to land on at each change of a form.
#ifndef WAY_CHART_TARGETS_H
#define WAY_CHART_TARGETS_H

#include "time/timeline.h"

/// Range of the line that fills in what a chart leaves open, MIDI notes: G3 to G5.
#define WAY_TARGETS_LOW 55u
#define WAY_TARGETS_HIGH 79u

/**
   The target of each span: the chart's own, else that of the guide-tone line
   (way_line_find()), which keeps to the chart's own.

   @param out Receives one degree a span, to be freed with free(); number 0 under N.C.;
              left untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_targets_new(const WayTimeline* t, WayDegree** out);

#endif
