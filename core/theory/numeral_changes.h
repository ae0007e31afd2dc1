// Round brackets in numerals: tones in place of others, or beside them (`V(64)`).
#ifndef WAY_THEORY_NUMERAL_CHANGES_H
#define WAY_THEORY_NUMERAL_CHANGES_H

#include "theory/chord.h"
#include "theory/key.h"

/**
   Where the round brackets with changes begin that a piece of a numeral ends with; its
   size if there are none.

   `V(64)` and `V65(4)` are changes, `V7(b9)` and `I(add9)` chord symbols: only a plus
   or a bare 2, 4, 6, 7 or 9 makes changes of them.
   @par Real-time safe.
*/
WAY_RT size_t way_numeral_changes_at(WayText piece);
/**
   Apply changes: figures above the root as the key has them.

   2, 4 and 6 stand for the tone below them, a raised 2 or 4 for the tone above, 7 for
   the root; 9 and more, and all with a plus, are added.  DCML harmony annotation
   standard, guidelines, "Suspensions and retardations" and "Added notes".

   @param changes From way_numeral_changes_at() to the end, brackets included.
   @par Real-time safe.
*/
WAY_RT void way_numeral_changes_apply(WayText changes, WayKey key, WayChord* chord);

#endif
