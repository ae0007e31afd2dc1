// Where the parts of a take's picture stand: systems of bars, one below the other, on
// pages.  Pure geometry.
#ifndef WAY_DRAW_TAKE_LAYOUT_H
#define WAY_DRAW_TAKE_LAYOUT_H

#include "take/review.h"

/// Most systems of a picture: hours of music.
#define WAY_TAKE_SYSTEMS_MAX 2000u

/// A note that begins this little before a system belongs to it, in ticks.
#define WAY_TAKE_LEAD (WAY_REVIEW_AT_ONCE / 2)

/// Room for the systems, in points.
typedef struct {
  double left, width;           ///< Of every system
  double top, bottom;           ///< Of the first page
  double top_next, bottom_next; ///< Of all others; `bottom` INFINITY: one endless page
  double tight;                 ///< Height of a semitone; 1: the usual one
  double scale;                 ///< 1: signs as small as paper bears
} WayTakeFrame;

/// A few bars side by side.
typedef struct {
  WayTick start, end; ///< From the chart's start
  uint32_t first, n;  ///< Notes that begin within (see #WAY_TAKE_LEAD)
  uint8_t low, high;  ///< Pitches there is room for
  uint32_t page;
  double y;      ///< Of its top
  double height; ///< With the space below it
} WayTakeSystem;

/// Where everything stands.
typedef struct {
  WayTakeFrame frame;
  double left;     ///< Where bars begin, right of the names of notes
  double per_tick; ///< Points
  double lane;     ///< Height of the chord symbols above the notes
  double pad;      ///< Between these and the highest pitch
  double semitone;
  double foot;     ///< Below the lowest pitch, where bars are numbered
  double brackets; ///< Height of the phrases below the notes
  uint32_t n_pages;
  uint32_t n;
  WayTakeSystem* systems;
} WayTakeLayout;

/**
   Lay out a review: four bars a system, more of short ones, fewer where bars are long
   or notes are dense.  Choruses and sections begin a system.

   @param out To be ended by way_take_layout_free(); left untouched on error.
   @return #WAY_OK, #WAY_ERR_RANGE (more than #WAY_TAKE_SYSTEMS_MAX systems) or
   #WAY_ERR_NO_MEMORY.
*/
WayStatus way_take_layout(const WayReview* review, const WayTakeFrame* frame,
                          WayTakeLayout* out);
/// Free what a layout holds.
void way_take_layout_free(WayTakeLayout* layout);
/// Where a tick of a system stands.
double way_take_x(const WayTakeLayout* l, const WayTakeSystem* s, WayTick tick);
/// Where the middle of a pitch of a system stands.
double way_take_y(const WayTakeLayout* l, const WayTakeSystem* s, int pitch);
/// The first note from `from` on that began before a system and still sounds in it (of
/// the last few); the system's own first note if there is none.
uint32_t way_take_sounding(const WayReview* review, const WayTakeSystem* s,
                           uint32_t from);
/// Bottom of the last system of the last page.
double way_take_bottom(const WayTakeLayout* l);

#endif
