// Chord symbols, read.
#ifndef WAY_THEORY_CHORD_READ_H
#define WAY_THEORY_CHORD_READ_H

#include "theory/chord.h"

/**
   Read one chord symbol; the whole text must be one.

   The spellings understood are listed in docs/theory.md.

   @param text  Borrowed, UTF-8.
   @param out   Left untouched on error.
   @param error Receives column and expectation; may be NULL.
   @return #WAY_OK, #WAY_ERR_SYNTAX, or #WAY_ERR_UNSUPPORTED for symbols that are
   refused with a suggestion (`C4`, polychords).
   @par Real-time safe: time linear in the text.
*/
WAY_RT WayStatus way_chord_read(WayText text, WayChord* out, WayError* error);

#endif
