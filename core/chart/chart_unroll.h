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

/// Called with every bar of the form as it is played; false ends the walk.
typedef bool (*WayChartVisit)(void* to, uint32_t section, uint32_t bar);
/// Walk through the form as it is played: repeats, endings, order of the sections.
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
