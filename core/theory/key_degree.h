// Degrees of a key as numerals count them, and degrees between written notes.
#ifndef WAY_THEORY_KEY_DEGREE_H
#define WAY_THEORY_KEY_DEGREE_H

#include "theory/key.h"

/**
   How far the mode lowers degree `number` (1..7) against the major scale: 0 or -1.

   A raised degree (the Lydian fourth) counts as 0, and so does the Locrian fifth:
   musicians write `#iv` and `bV`.
   @par Real-time safe.
*/
WAY_RT int way_key_degree_lowered(WayMode mode, int number);
/**
   What a degree with an accidental means: semitones against the major scale.

   A degree the mode lowers is meant lowered with or without one flat; but chords with a
   minor third on 6 and 7 stand on the raised degree, with or without one sharp (`vi`,
   `viio7` and `#viio7` in minor).
   @par Real-time safe.
*/
WAY_RT int way_key_degree_alter(WayMode mode, int number, int accidental,
                                bool minor_third);
/// The other way: the accidental to write so that `alter` is meant.  Only a minor key
/// leaves out flats of its own; a modal one shows them (`bVII` in Mixolydian).
/// @par Real-time safe.
WAY_RT int way_key_degree_accidental(WayMode mode, int number, int alter,
                                     bool minor_third);
/// The key's own note with this number (1..14) above `root`: the letter by number, as
/// the signature has it.  @par Real-time safe.
WAY_RT WayDegree way_key_degree_above(WaySpelling root, int number, WayKey key);
/// The degree of a written note above another, its number 1..7.  @par Real-time safe.
WAY_RT WayDegree way_degree_between(WaySpelling from, WaySpelling to);

#endif
