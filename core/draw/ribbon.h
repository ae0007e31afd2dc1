// The form as rows of bars along a line, and places on it.  Pure geometry.
#ifndef WAY_DRAW_RIBBON_H
#define WAY_DRAW_RIBBON_H

#include "draw/box.h"
#include "time/timeline.h"

/// Most rows shown at once.
#define WAY_RIBBON_ROWS_MAX 32u
/// Most bars of a row.
#define WAY_RIBBON_BARS_MAX 8u
/// Most chords of a bar that are shown.
#define WAY_RIBBON_CHORDS 64u

/// One row of bars.  Each section begins a new row.
typedef struct {
  uint32_t bar;                      ///< Its first bar, from 0
  uint32_t n;                        ///< How many bars
  uint32_t section;                  ///< Index into the timeline's sections
  bool opens;                        ///< The section begins here
  double x[WAY_RIBBON_BARS_MAX + 1]; ///< The bars' left edges, and the last one's right
} WayRibbonRow;

/// Where everything stands.
typedef struct {
  WayBox box;
  uint32_t per_row;                       ///< Bars in a row, at most: 4 or 8
  uint32_t total;                         ///< Rows of the whole form
  uint32_t first;                         ///< Index of the first row shown
  uint32_t n;                             ///< Rows shown
  WayRibbonRow rows[WAY_RIBBON_ROWS_MAX]; ///< The rows shown
  double gutter;                          ///< Width left of the bars, for section names
  double name;                            ///< Size of those names
  double row;                             ///< Height of a row
  double symbol;                          ///< Size of chord symbols
  double symbol_up;                       ///< Their middle, above the line
  double numeral;      ///< Size of numerals; 0 where there is no room for them
  double numeral_down; ///< Their middle, below the line
  double token;        ///< Radius of a landing's token
  double front;        ///< From a bar's stroke to its first symbol
  double line;         ///< The line, below the top of its row
} WayRibbonLayout;

/**
   Lay out a form in a box.

   Letters are as large as they can be for the whole form to stand in the box, in rows
   of four bars or of eight.  Where bars hold too many chords for that, their row has
   half as many bars, or half again, and a bar of many chords is wider than others.  A
   form that is too long for letters of one unit shows the rows around `bar`.
   @param bar  That is shown for sure, from 0.
   @param unit Size of small letters: rows are never so low that they do not fit.
*/
WayRibbonLayout way_ribbon_layout(const WayTimeline* t, uint32_t bar, double unit,
                                  WayBox box);

/// A point of the line.
typedef struct {
  bool shown;
  uint32_t row; ///< Index into the rows shown
  double x, y;
} WayRibbonPoint;
/// Where a tick of the form (0..length-1) is on the line.
WayRibbonPoint way_ribbon_point(const WayRibbonLayout* l, const WayTimeline* t,
                                WayTick tick);
/// The box of a bar from the top to the bottom of its row; width 0 if not shown.
WayBox way_ribbon_bar(const WayRibbonLayout* l, uint32_t bar);
/// Length of a bar of the form.
WayTick way_ribbon_bar_length(const WayTimeline* t, uint32_t bar);

#endif
