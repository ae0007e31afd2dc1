// A chart as it was written: header, sections, bars and what stands in them.
#ifndef WAY_CHART_CHART_H
#define WAY_CHART_CHART_H

#include "base/status.h"
#include "time/timeline.h"

/// What stands at one place of a bar.
typedef enum {
  WAY_SLOT_CHORD,   ///< A chord symbol, or N.C.
  WAY_SLOT_NUMERAL, ///< A numeral, resolved in the chart's key
  WAY_SLOT_REPEAT,  ///< `%`: the bar before, once more (alone in its bar)
} WaySlotKind;

/// One chord of a bar.
typedef struct {
  WaySlotKind kind;
  WayChord chord;            ///< As read, or as the numeral means
  char text[WAY_SYMBOL_MAX]; ///< As written, canonical for chord symbols
  uint8_t shares;            ///< 1, and 1 more for each `/` after it
  WayDegree target;          ///< Planned landing; number 0 if none
} WayChartSlot;

/// One written bar.
typedef struct {
  uint32_t first_slot; ///< Index into the chart's slots
  uint16_t n_slots;    ///< At least 1
  bool repeat_open;    ///< `|:` before it
  bool repeat_close;   ///< `:|` after it
  uint8_t ending;      ///< 1.. if a numbered ending begins here, else 0
} WayChartBar;

/// One written section.
typedef struct {
  char name[WAY_NAME_MAX]; ///< "" for bars before any section
  uint32_t first_bar, n_bars;
} WayChartSection;

/// A chart.  Made by way_chart_read() or way_chart_new(), ended by way_chart_free().
typedef struct {
  char title[WAY_NAME_MAX]; ///< "" if not given
  bool key_given;           ///< Else `key` was found from the chords
  WayKey key;
  WayMetre metre; ///< 4/4 if not given
  double tempo;   ///< Quarter notes per minute; 120 if not given
  bool tempo_given;
  uint32_t n_sections, n_bars, n_slots, n_form;
  WayChartSection* sections;
  WayChartBar* bars;
  WayChartSlot* slots;
  uint32_t* form; ///< Section indices in playing order; NULL: as written
} WayChart;

/**
   Read chart text (docs/chart-format.md).

   @param text  Borrowed, UTF-8.
   @param out   Receives a new chart, owned by the caller; left untouched on error.
   @param error Receives line, column and what was expected; may be NULL.
   @return #WAY_OK, #WAY_ERR_SYNTAX, #WAY_ERR_RANGE, #WAY_ERR_FULL (unrolls to too many
   bars) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_chart_read(WayText text, WayChart** out, WayError* error);
/// Free a chart; NULL is fine.
void way_chart_free(WayChart* chart);
/**
   Write a chart as text; reading it gives an equal chart.

   @param out Receives a new terminated string, to be freed with free(); left untouched
   on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_chart_write(const WayChart* chart, char** out);
/**
   A copy moved so that its key's tonic is `tonic` (numerals stay as they are).

   @param out Receives a new chart, owned by the caller.
*/
WayStatus way_chart_transpose(const WayChart* chart, WaySpelling tonic, WayChart** out);
/**
   Unroll repeats and form into a timeline.

   @param out Receives a new timeline in one block, to be freed with
   way_timeline_free(); left untouched on error.
   @return #WAY_OK, #WAY_ERR_FULL or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_chart_unroll(const WayChart* chart, WayTimeline** out);
/// Free a timeline made by way_chart_unroll(); NULL is fine.
void way_timeline_free(WayTimeline* timeline);

#endif
