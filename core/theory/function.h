// What a chord does in its key.
#ifndef WAY_THEORY_FUNCTION_H
#define WAY_THEORY_FUNCTION_H

#include "theory/chord.h"
#include "theory/key.h"

/// What a chord does in its key.
typedef enum {
  WAY_FUNCTION_NONE, ///< Silence, or a chord outside the usual vocabulary of the key
  WAY_FUNCTION_TONIC,
  WAY_FUNCTION_PREDOMINANT,
  WAY_FUNCTION_DOMINANT, ///< Of the key or, for an applied chord, of its target
  WAY_FUNCTION_COUNT,
} WayFunction;

/// `none`, `tonic`, `predominant` or `dominant`.  A static string.
/// @par Real-time safe.
WAY_RT const char* way_function_name(WayFunction f);
/**
   What a chord does in a key, by the root, the third and what follows.

   @param next The chord that follows; NULL if unknown.
   @par Real-time safe.
*/
WAY_RT WayFunction way_function(const WayChord* chord, const WayChord* next,
                                WayKey key);

#endif
