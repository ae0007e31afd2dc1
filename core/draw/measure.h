// About how wide texts are, for layouts: only painting knows their letters.
#ifndef WAY_DRAW_MEASURE_H
#define WAY_DRAW_MEASURE_H

#include "theory/chord.h"

/// The width of a text in sizes of its letters: that of most fonts is near this.
double way_measure_text(const char* text);
/// The width of a chord symbol, and a little free behind it, in sizes of its root.
double way_measure_symbol(const WayChord* chord);

#endif
