// A fretboard: which pitch is where, and where that is in the picture.  Pure geometry.
#ifndef WAY_DRAW_FRETBOARD_H
#define WAY_DRAW_FRETBOARD_H

#include "draw/box.h"
#include "draw/tuning.h"

/// Highest fret.
#define WAY_FRET_MAX 36u

/// A fretboard, and the part of it that is shown.  Frets count from the nut.
typedef struct {
  WayTuning tuning;
  uint8_t capo;  ///< Its fret; 0 for none
  bool left;     ///< For a left hand: the nut on the right
  uint8_t first; ///< First fret shown; at the capo's (or 0) the open strings are
  uint8_t last;  ///< Last fret shown, up to #WAY_FRET_MAX
} WayFretboard;

/// A guitar, frets 0 to 12.
WayFretboard way_fretboard_default(void);
/// The board with the capo from 0 to 24 and the window made proper: at least one fret,
/// none below the capo.
WayFretboard way_fretboard_clamped(const WayFretboard* board);
/// The pitch at a place; strings count from 0, `fret` is no lower than the capo.
static inline int way_fretboard_pitch(const WayFretboard* board, unsigned string,
                                      unsigned fret) {
  return board->tuning.open[string] + (int)fret;
}

/// Where everything stands.
typedef struct {
  WayFretboard board; ///< Clamped
  WayBox strings;     ///< From the first fret wire to the last, top string to bottom
  double open;     ///< Width of the open strings' column outside `strings`; 0 without
  double cell;     ///< Width of one fret
  double gap;      ///< From string to string
  double radius;   ///< Of the largest sign
  double number;   ///< Size of the fret numbers' font
  double number_y; ///< Where they stand
} WayFretLayout;

/// Lay out a board in a box.
WayFretLayout way_fret_layout(const WayFretboard* board, WayBox box);
/// The first fret shown as a column of its own: the one after the open strings.
static inline unsigned way_fret_first(const WayFretLayout* l) {
  return l->open > 0 ? l->board.capo + 1u : l->board.first;
}
/// Where a note at a fret stands; open strings at the capo's.
double way_fret_x(const WayFretLayout* l, unsigned fret);
/// Where the wire of a fret stands; the nut or capo at the capo's.
double way_fret_wire(const WayFretLayout* l, unsigned fret);
/// Where a string lies; the tuning's first (0) at the bottom.
double way_fret_y(const WayFretLayout* l, unsigned string);

/// A place on the board.
typedef struct {
  uint8_t string; ///< From 0
  uint8_t fret;
} WayFretPlace;
/**
   The places of a pitch that are shown, those nearest to another place first.

   @param near Where the hand is; NULL for the middle of what is shown.
   @param out  Room for one a string.
   @return How many.
*/
unsigned way_fret_places(const WayFretLayout* l, int pitch, const WayFretPlace* near,
                         WayFretPlace out[WAY_STRINGS_MAX]);

#endif
