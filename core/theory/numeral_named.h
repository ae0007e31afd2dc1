// Chords with names of their own instead of a degree: augmented sixths (`Ger65`) and
// the Neapolitan (`N6`).
#ifndef WAY_THEORY_NUMERAL_NAMED_H
#define WAY_THEORY_NUMERAL_NAMED_H

#include "theory/chord.h"
#include "theory/key.h"

/// Read a name and its figure; nothing may follow.
/// @param out Left untouched if the text is none of them.
/// @return Whether it is one.  @par Real-time safe.
WAY_RT bool way_numeral_named_read(WayText text, WayKey key, WayChord* out);
/// Append name and figure of a chord; the Neapolitan is left to its numeral.
/// @return Whether it has a name in this key; else nothing is appended.
/// @par Real-time safe.
WAY_RT bool way_numeral_named_write(const WayChord* chord, WayKey key, WayOut* out);

#endif
