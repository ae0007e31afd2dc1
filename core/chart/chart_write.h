// Charts, written as text.
#ifndef WAY_CHART_CHART_WRITE_H
#define WAY_CHART_CHART_WRITE_H

#include "chart/chart.h"

/**
   Write a chart as text; reading it gives an equal chart.

   @param out Receives a new terminated string, to be freed with free(); left untouched
   on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_chart_write(const WayChart* chart, char** out);
/**
   Turn bars that play what the bar before plays into `%`, as players write them.

   The chart plays as before.  Chords stay in the first bar of a section, in the one
   that begins a line as way_chart_write() lays them, and at repeat signs and endings.
*/
void way_chart_abbreviate(WayChart* chart);

#endif
