// The key of a chart, and of its parts, found from its chords.
#ifndef WAY_CHART_CHART_KEY_H
#define WAY_CHART_CHART_KEY_H

#include "chart/chart.h"
#include "theory/key_find.h"

/**
   Find the key of the form as it is played, whether or not one is given.

   @param out Left untouched on error.
   @return #WAY_OK, #WAY_ERR_NO_MEMORY, or what way_chart_size() says.
*/
WayStatus way_chart_key_find(const WayChart* chart, WayKeyFinding* out);
/**
   Find the key in force at every chord of the form as it is played, starting from the
   chart's key.

   @param keys Receives a new array, one key for each chord in order, to be freed with
               free(); left untouched on error.
   @return #WAY_OK, #WAY_ERR_NO_MEMORY, or what way_chart_size() says.
*/
WayStatus way_chart_key_parts(const WayChart* chart, WayKey** keys);

#endif
