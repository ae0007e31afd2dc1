// A chart as it was written: header, sections, bars and what stands in them.
#ifndef WAY_CHART_CHART_H
#define WAY_CHART_CHART_H

#include "base/status.h"
#include "time/timeline.h"

/// Most bars of a chart once repeats and form are unrolled, and most chords.
#define WAY_CHART_UNROLLED_MAX 1000000u
/// Most chords and `/` in one bar.
#define WAY_CHART_SHARES_MAX 64u
/// Highest number of an ending.
#define WAY_CHART_ENDING_MAX 16u

/// What stands at one place of a bar.
typedef enum {
  WAY_SLOT_CHORD,   ///< A chord symbol, or N.C.
  WAY_SLOT_NUMERAL, ///< A numeral, resolved in the section's key
  WAY_SLOT_REPEAT,  ///< `%`: the bar before, once more (alone in its bar)
} WaySlotKind;

/// One chord of a bar.
typedef struct {
  WaySlotKind kind;
  WayChord chord;            ///< As read, or as the numeral means; none for `%`
  char text[WAY_SYMBOL_MAX]; ///< As written, canonical for chord symbols
  uint8_t shares;            ///< Of the bar: 1, and 1 more for each `/` after it
  WayDegree target;          ///< Planned landing; number 0 if none
} WayChartSlot;

/// One written bar.
typedef struct {
  uint32_t first_slot; ///< Index into the chart's slots
  uint32_t source;     ///< Bar whose chords sound here: its own index, unless `%`
  uint16_t n_slots;    ///< At least 1
  uint16_t endings;    ///< Bit n-1: ending n begins here
  bool repeat_open;    ///< `|:` before it
  bool repeat_close;   ///< `:|` after it
} WayChartBar;

/// One written section.
typedef struct {
  char name[WAY_NAME_MAX]; ///< "" for bars before any section
  uint32_t first_bar, n_bars;
  WayKey key;                  ///< In force here
  WayMetre metre;              ///< In force here
  bool key_given, metre_given; ///< By a line of the section's own; else the chart's
} WayChartSection;

/// A chart.  Made by way_chart_read(), ended by way_chart_free().  In between it only
/// changes by way_chart_abbreviate().
typedef struct {
  char title[WAY_NAME_MAX]; ///< "" if not given
  bool key_given;           ///< Else `key` was found from the chords
  bool metre_given, tempo_given;
  WayKey key;
  WayMetre metre; ///< 4/4 if not given
  double tempo;   ///< Quarter notes per minute, 10..1000; 120 if not given
  uint32_t n_sections, n_bars, n_slots, n_form;
  WayChartSection* sections;
  WayChartBar* bars;
  WayChartSlot* slots;
  uint32_t* form; ///< Section indices in playing order; NULL: as written
} WayChart;

/// Free a chart; NULL is fine.
void way_chart_free(WayChart* chart);

#endif
