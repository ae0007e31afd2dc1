// The chord now and the chord next: where their parts stand.  Pure geometry.
#ifndef WAY_DRAW_PANEL_H
#define WAY_DRAW_PANEL_H

#include "draw/box.h"

#include <stdbool.h>

/// Where the parts of one chord stand.
typedef struct {
  WayBox box;
  double symbol;   ///< Size of the symbol
  double symbol_y; ///< Its middle
  double room;     ///< Its greatest width
  double tone;     ///< Size of the tones' letters
  double tone_y;   ///< Their middle
  double degree;   ///< Size of the degrees under them
  double degree_y; ///< Their middle
} WayChordPanel;

/// The chord now.
WayChordPanel way_panel_now(WayBox box);
/// The chord next: smaller, on the same lines; room to the right for the count.
WayChordPanel way_panel_next(WayBox box);
/// Where tone `i` of `n` has its middle, and how much room it has.
double way_panel_tone_x(const WayChordPanel* p, unsigned i, unsigned n, double* width);

/// How beats go together on the way to the change.
typedef struct {
  unsigned group; ///< Beats of a group (way_metre_group()); 0 is 1
  unsigned into;  ///< Beats from where a group begins to the change, below `group`
} WayPanelPulse;

/// The way to the change: a line with a knot at each beat, and what is left of it.
typedef struct {
  double y;
  double from, to; ///< From the chord now to the change
  double at;    ///< The place, a whole unit of the surface; the line is left from here
  double beat;  ///< From beat to beat
  double apart; ///< Beats from knot to knot: of a long way not all have one
  unsigned knots; ///< Before the change
  double weight;  ///< Of the line
  WayPanelPulse pulse;
} WayPanelWay;
/// Lay out the way under the chord next.  @param until, lasts Beats, as in the model.
WayPanelWay way_panel_way(const WayChordPanel* next, double until, double lasts,
                          WayPanelPulse pulse);
/// Where knot `i` stands, counted back from the change, which is knot 0, and whether it
/// is heavy: a group begins there, or every beat stands alone.
double way_panel_knot(const WayPanelWay* w, unsigned i, bool* heavy);

#endif
