// What lies over the screen for a moment: the list of all choices, the line to type in.
// Pure geometry.
#ifndef WAY_UI_OVERLAY_H
#define WAY_UI_OVERLAY_H

#include "choice.h"

/// Which one lies there.
typedef enum {
  WAY_OVER_NOTHING,
  WAY_OVER_HELP,  ///< All choices with their keys
  WAY_OVER_CHART, ///< A chart is typed
  WAY_OVER_PATH,  ///< The path of a chart is typed
} WayOver;

/// Keys that are no choice: in the list behind the choices.
#define WAY_HELP_LINES 7u

/// Where everything stands.
typedef struct {
  WayBox box;    ///< All of it; width 0: nothing lies there
  WayBox text;   ///< Of the typed text, or of the rows
  double letter; ///< Size of letters
  double row;    ///< Height of a row
  unsigned rows; ///< Rows in a column of the list, or of text
  double column; ///< Width of a column of the list
} WayOverLayout;

/// Lay it out on a screen.  @param lines Lines of the text that is typed.
WayOverLayout way_over_layout(WayOver over, const WayScreenLayout* screen,
                              unsigned lines);
/// The box of row `index` of the list: choices, then lines of help.
WayBox way_over_row(const WayOverLayout* l, unsigned index);
/// The choice at a point of the list; #WAY_CHOICE_COUNT if there is none.
WayChoiceId way_over_choice_at(const WayOverLayout* l, double x, double y);

#endif
