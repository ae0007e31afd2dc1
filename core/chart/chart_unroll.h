// From a chart as written to the form as played.
#ifndef WAY_CHART_CHART_UNROLL_H
#define WAY_CHART_CHART_UNROLL_H

#include "chart/chart.h"

/**
   Unroll repeats and form into a timeline.

   Neighbours with the same chord in the same key become one span, unless the second has
   a target of its own.  Equal chords in one key share one harmony.  A chord is heard in
   the key given for its section or for the chart; where neither is, in the key found
   for its part (way_chart_key_parts()).
   @param out Receives a new timeline in one block, to be freed with
   way_timeline_free(); left untouched on error.
   @return #WAY_OK, #WAY_ERR_NO_MEMORY, or what way_chart_size() says.
*/
WayStatus way_chart_unroll(const WayChart* chart, WayTimeline** out);
/// Read a chart and unroll it: way_chart_read(), then way_chart_unroll().
/// @param error Receives what was wrong; may be NULL.
WayStatus way_timeline_read(WayText text, WayTimeline** out, WayError* error);
/// Free a timeline made by way_chart_unroll(); NULL is fine.
void way_timeline_free(WayTimeline* timeline);

#endif
