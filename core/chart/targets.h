// What to land on at each change of a form, and the guide-tone line that says so.
#ifndef WAY_CHART_TARGETS_H
#define WAY_CHART_TARGETS_H

#include "base/status.h"
#include "theory/guide_line.h"
#include "time/timeline.h"

/// Range of the line that fills in what a chart leaves open, MIDI notes: G3 to G5.
#define WAY_TARGETS_LOW 55u
#define WAY_TARGETS_HIGH 79u

/**
   Find the guide-tone line of a form, which keeps to the chart's own targets.

   @param low, high Range, see way_line_find().
   @param out       Receives one tone a span, to be freed with free(); left untouched on
                    error.
   @return #WAY_OK, #WAY_ERR_RANGE or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_targets_line(const WayTimeline* t, uint8_t low, uint8_t high,
                           WayLineTone** out);
/**
   The target of each span: the chart's own, else what the guide-tone line in the range
   above lands on.

   @param out Receives one degree a span, to be freed with free(); number 0 under N.C.;
              left untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_targets_new(const WayTimeline* t, WayDegree** out);

#endif
