// Charts in other keys.
#ifndef WAY_CHART_CHART_TRANSPOSE_H
#define WAY_CHART_CHART_TRANSPOSE_H

#include "chart/chart.h"

/**
   A copy moved so that its key's tonic is `tonic`, sections in other keys along with
   it.

   The copy counts as given in its key.  Numerals stay as they are written.  Roots and
   basses that would need a double accidental are respelled.
   @param out Receives a new chart, owned by the caller; left untouched on error.
   @return #WAY_OK, #WAY_ERR_NO_MEMORY, or what way_numeral_read() says of a numeral
   that cannot be spelled in the new key.
*/
WayStatus way_chart_transpose(const WayChart* chart, WaySpelling tonic, WayChart** out);
/// The tonic `semitones` above (below, if negative) that of `key`, spelled for the
/// signature with fewest accidentals.
WaySpelling way_chart_tonic_moved(WayKey key, int semitones);

#endif
