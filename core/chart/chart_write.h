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

#endif
