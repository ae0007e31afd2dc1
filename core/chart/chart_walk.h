// The form of a chart as it is played: repeats, endings and the order of its sections.
#ifndef WAY_CHART_CHART_WALK_H
#define WAY_CHART_CHART_WALK_H

#include "chart/chart.h"

/// Called with every bar of the form as it is played; false ends the walk.
typedef bool (*WayChartVisit)(void* to, uint32_t section, uint32_t bar);
/// Sections of the form as it is played, repeated ones counted anew.
uint32_t way_chart_form_length(const WayChart* chart);
/// The section at a place of the form (0..length-1): an index into the chart's.
uint32_t way_chart_form_section(const WayChart* chart, uint32_t place);
/// Walk through one section as it is played: repeats and endings.
/// @return False if `visit` ended the walk.
bool way_chart_walk_section(const WayChart* chart, uint32_t section,
                            WayChartVisit visit, void* to);
/// Walk through the whole form, section after section.
/// @return False if `visit` ended the walk.
bool way_chart_walk(const WayChart* chart, WayChartVisit visit, void* to);

/// What a form comes to as it is played.
typedef struct {
  uint32_t sections, bars, chords;
} WayChartSize;
/// Measure the form as it is played.
/// @return #WAY_OK, #WAY_ERR_FULL above #WAY_CHART_UNROLLED_MAX bars or chords, or
/// #WAY_ERR_RANGE for a chart without bars (way_chart_read() makes none).
WayStatus way_chart_size(const WayChart* chart, WayChartSize* out);
/**
   Where the chords of a bar begin.

   @param metre  Of the section the bar is played in.
   @param starts Receives `n_slots + 1` ticks from the bar's start, the last the bar's
                 length; room for #WAY_CHART_SHARES_MAX + 1.
   @return The bar whose chords sound: `bar`, or the one it repeats.
*/
const WayChartBar* way_chart_bar_starts(const WayChart* chart, uint32_t bar,
                                        WayMetre metre, WayTick* starts);

#endif
