// A line of bars, read: chords and their shares, repeats and endings.
#ifndef WAY_CHART_BAR_READ_H
#define WAY_CHART_BAR_READ_H

#include "chart/reader.h"

/// Whether a line of bars begins here.
bool way_bar_line_begins(const WayCursor* c);
/**
   Read bars to the end of the line.

   The cursor stands where way_bar_line_begins(); it is left at the end of the line.
   @return As way_chart_read().
*/
WayStatus way_bars_read(WayChartReader* r);
/// See that the section's last repeat is whole.
WayStatus way_bars_end_section(WayChartReader* r);

#endif
