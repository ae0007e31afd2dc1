// Names of scales and modes as people write them.
#ifndef WAY_THEORY_NAMES_H
#define WAY_THEORY_NAMES_H

#include "base/text.h"

/**
   Whether `text` is one of the names in `names`.

   Letter case, blanks, hyphens, underscores and apostrophes do not count; a flat or
   sharp sign is the same as `b` or `#`.

   @param names Separated by `|`; "" holds no name.
   @par Real-time safe: linear in both lengths.
*/
WAY_RT bool way_names_hold(const char* names, WayText text);

#endif
