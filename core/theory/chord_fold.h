// Chord symbols in ASCII: every way to print a sign becomes one character.
#ifndef WAY_THEORY_CHORD_FOLD_H
#define WAY_THEORY_CHORD_FOLD_H

#include "base/text.h"

/// Most characters of a symbol; longer text is not one.
#define WAY_FOLD_CHARS 120u
/// A folded text ends with so many zeros.
#define WAY_FOLD_ZEROS 8u
/// Room for a folded text.
#define WAY_FOLD_MAX (WAY_FOLD_CHARS + 2 + WAY_FOLD_ZEROS)

/// What a folded text has where there is no ASCII for it.
enum {
  WAY_FOLD_BAD = 1,      ///< What can be no part of a symbol
  WAY_FOLD_TOO_LONG = 2, ///< The text goes on, beyond the longest symbol
  WAY_FOLD_NATURAL = 3,  ///< The natural sign
};

/**
   Fold a text: sharps are `#`, flats `b`, triangles `^`, the circle is `o`, the slashed
   circle `h`, dashes are `-`, superscripts and subscripts plain; blanks at the end are
   left out of what is not plain ASCII.

   @param text Borrowed, UTF-8.
   @par Real-time safe: time linear in the text, up to the longest symbol.
*/
WAY_RT void way_chord_fold(WayText text, char to[WAY_FOLD_MAX]);
/// The place in `text` that character `folded` of its folded text came from.
/// @par Real-time safe.
WAY_RT WayCursor way_chord_fold_place(WayText text, size_t folded);

#endif
