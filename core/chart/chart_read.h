// Chart text, read.
#ifndef WAY_CHART_CHART_READ_H
#define WAY_CHART_CHART_READ_H

#include "base/text.h"
#include "chart/chart.h"

/**
   Read chart text (docs/chart-format.md).

   @param text  Borrowed, UTF-8.
   @param out   Receives a new chart, owned by the caller; left untouched on error.
   @param error Receives line, column and what was expected; may be NULL.
   @return #WAY_OK, #WAY_ERR_SYNTAX, #WAY_ERR_RANGE, #WAY_ERR_UNSUPPORTED (a chord
   symbol that is refused with a suggestion), #WAY_ERR_FULL (unrolls to too many bars)
   or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_chart_read(WayText text, WayChart** out, WayError* error);

#endif
