// A take in figures: what the practice log keeps of it, and what those figures tell.
#ifndef WAY_TAKE_FIGURES_H
#define WAY_TAKE_FIGURES_H

#include "take/review_chords.h"

/// The figures of a take.
typedef enum {
  WAY_FIGURE_SECONDS,
  WAY_FIGURE_BARS, ///< From the chart's start to the last sound
  WAY_FIGURE_NOTES,
  WAY_FIGURE_CHORD_TONES,
  WAY_FIGURE_SCALE_TONES,
  WAY_FIGURE_CHROMATIC,
  WAY_FIGURE_BASIC,
  WAY_FIGURE_LANDINGS,
  WAY_FIGURE_LANDED,
  WAY_FIGURE_LANDED_BASIC,
  WAY_FIGURE_EARLY,
  WAY_FIGURE_ON_TIME,
  WAY_FIGURE_LATE,
  WAY_FIGURE_HELD_OVER,
  WAY_FIGURE_IN_REST,
  WAY_FIGURE_TARGETS,
  WAY_FIGURE_TARGETS_MET,
  WAY_FIGURE_TENSIONS,
  WAY_FIGURE_RESOLVED,
  WAY_FIGURE_STEPPED,
  WAY_FIGURE_TIMING_MEAN,   ///< Beats that onsets lie behind the grid
  WAY_FIGURE_TIMING_SPREAD, ///< Standard deviation of that
  WAY_FIGURE_COUNT,
} WayFigure;

/// Room for the name of a take's file, with its terminator; longer ones are cut.
#define WAY_TAKE_NAME_MAX 256u
/// Room for a day as text, with its terminator.
#define WAY_DAY_MAX 11u

/// A day, `2026-11-25`.
typedef struct {
  char text[WAY_DAY_MAX];
} WayDay;

/// One take, as the log knows it.
typedef struct {
  int64_t id;          ///< Given by the log, from 1
  int64_t fingerprint; ///< Of tune and notes: the same take again has the same one
  WayDay day;
  char tune[WAY_NAME_MAX];
  char key[WAY_NAME_MAX];
  char take[WAY_TAKE_NAME_MAX]; ///< Name of its file
  double figures[WAY_FIGURE_COUNT];
} WayLogTake;

/// What figures tell when set against each other.
typedef enum {
  WAY_MEASURE_DENSITY,  ///< Notes a bar
  WAY_MEASURE_BASIC,    ///< Notes on basic chord tones
  WAY_MEASURE_LANDED,   ///< Landings on basic chord tones
  WAY_MEASURE_ARRIVED,  ///< Chords with a note begun on time
  WAY_MEASURE_TARGETS,  ///< Planned landings met
  WAY_MEASURE_RESOLVED, ///< Tensions that resolve
  WAY_MEASURE_SPREAD,   ///< Spread of onsets around the grid, in beats
  WAY_MEASURE_COUNT,
} WayMeasure;

/// `seconds`, `timing_spread`, ...: a word for columns and JSON.  A static string.
const char* way_figure_name(WayFigure figure);
/// `notes on basic chord tones`, ...  A static string.
const char* way_measure_label(WayMeasure measure);
/// Whether a measure is a share of a whole, 0..1.
bool way_measure_is_share(WayMeasure measure);
/// The share in published solos (docs/review.md), 0..1; 0 where none is known.
double way_measure_published(WayMeasure measure);
/**
   A measure of a take.

   @param out Left untouched if there is nothing to measure.
   @return Whether there is.
*/
bool way_measure(const WayLogTake* take, WayMeasure measure, double* out);

/**
   A review in figures.  `id` and `day` are left empty.

   @param seconds How long the take is.
   @param tune    What it is filed under; cut to #WAY_NAME_MAX.
   @param name    Of its file; folders are left out.
*/
WayLogTake way_figures(const WayReview* review, double seconds, const char* tune,
                       const char* name);

/**
   Longest run of days, one after the other.

   @param days Rising days `YYYY-MM-DD`; equal neighbours count once.
   @param last Receives the length of the run that ends with the last day; may be NULL.
   @return Its length; 0 without days.
*/
uint32_t way_days_in_a_row(const WayDay* days, uint32_t n, uint32_t* last);
/// Days from one day to another; negative if `to` is earlier.
int64_t way_days_between(WayDay from, WayDay to);
/// Whether a text is a day of the calendar, `YYYY-MM-DD`.
bool way_day_valid(const char* text);

#endif
