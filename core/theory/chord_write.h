// Chord symbols, written.
#ifndef WAY_THEORY_CHORD_WRITE_H
#define WAY_THEORY_CHORD_WRITE_H

#include "theory/chord.h"

/**
   Append the canonical symbol; way_chord_read() of it gives an equal chord.

   @par Real-time safe.
*/
WAY_RT void way_chord_write(const WayChord* c, WayOut* out);

#endif
