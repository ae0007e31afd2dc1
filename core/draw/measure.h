// About how wide texts are, and where they break: only painting knows their letters.
#ifndef WAY_DRAW_MEASURE_H
#define WAY_DRAW_MEASURE_H

#include "theory/chord.h"

/// The width of a text in sizes of its letters: that of most fonts is near this.
double way_measure_text(const char* text);
/// The width of a chord symbol, and a little free behind it, in sizes of its root.
double way_measure_symbol(const WayChord* chord);
/**
   Break a text into lines that fit a width by an estimate: letters of 0.54 of their
   size on average.  Lines are about equally long.

   @param lines Receives the lines, borrowed from `text`.
   @return How many, up to `most`; what is left over is on the last.
*/
unsigned way_measure_wrap(const char* text, double size, double width, unsigned most,
                          WayText* lines);

#endif
