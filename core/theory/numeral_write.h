// Numerals, written: a chord's name by its degree in a key.
#ifndef WAY_THEORY_NUMERAL_WRITE_H
#define WAY_THEORY_NUMERAL_WRITE_H

#include "theory/chord.h"
#include "theory/key.h"

/// Room for a written numeral, with its terminator.
#define WAY_NUMERAL_MAX 96u

/**
   Append the numeral of a chord; way_numeral_read() of it in the same key gives an
   equal chord.

   Chromatic dominants and leading-tone chords are written as applied to the degree they
   lead to (`V7/V`), dominants a semitone above the chord they lead to as tritone
   substitutes (`subV7/ii`).  N.C. is written `N.C.`.

   @param chord Borrowed.
   @param next  The chord that follows, borrowed; NULL if unknown.  Only chooses between
                names that mean the same chord.
   @par Real-time safe.
*/
WAY_RT void way_numeral_write(const WayChord* chord, const WayChord* next, WayKey key,
                              WayOut* out);

#endif
