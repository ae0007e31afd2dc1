// Numerals, read: chords named by their degree in a key.
#ifndef WAY_THEORY_NUMERAL_READ_H
#define WAY_THEORY_NUMERAL_READ_H

#include "theory/chord.h"
#include "theory/key.h"

/**
   Read one numeral; the whole text must be one.

   Case gives the third, accidentals before the letters move the root, figures (`6`,
   `64`, `65`, `43`, `42`) the bass, `/` the key it is applied to or, before a degree or
   a note, the bass.  The full list is in docs/theory.md, section "Numerals".

   @param text  Borrowed, UTF-8.
   @param key   The key it is read in.
   @param out   Left untouched on error.
   @param error Receives column and expectation; may be NULL.
   @return #WAY_OK or #WAY_ERR_SYNTAX, or what way_chord_read() says of the suffix.
   @par Real-time safe: time linear in the text.
*/
WAY_RT WayStatus way_numeral_read(WayText text, WayKey key, WayChord* out,
                                  WayError* error);

#endif
