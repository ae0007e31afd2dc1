// Bars named in a sentence.
#ifndef WAY_TAKE_BAR_LIST_H
#define WAY_TAKE_BAR_LIST_H

#include "base/text.h"
#include "take/review.h"

/// Bars a list names before it says "and more".
#define WAY_BAR_LIST_MAX 4u

/// A list of bars.  Starts as `{0}`.
typedef struct {
  uint32_t n; ///< More than #WAY_BAR_LIST_MAX: not all are kept
  WayReviewPlace bars[WAY_BAR_LIST_MAX];
} WayBarList;

/// Add the bar of a tick from the chart's start.  Ticks rise; a bar is named once.
void way_bar_list_add(WayBarList* list, const WayTimeline* t, WayTick tick);
/// Write `bar 5`, `bars 5, 13 and chorus 2 bar 5`, `bars 1, 2, 3, 4 and more`.
void way_bar_list_write(const WayBarList* list, WayOut* out);

#endif
