// Chords applied to a degree of the key: what leads where.
#ifndef WAY_THEORY_APPLIED_H
#define WAY_THEORY_APPLIED_H

#include "theory/chord.h"
#include "theory/key.h"

/// A place a chord can have in the key of its target.
typedef enum {
  WAY_APPLIED_NOT,         ///< Not applied to anything
  WAY_APPLIED_DOMINANT,    ///< On the fifth degree
  WAY_APPLIED_SUBSTITUTE,  ///< On the lowered second: the dominant a tritone away
  WAY_APPLIED_LEADING,     ///< On the leading tone
  WAY_APPLIED_PREDOMINANT, ///< On the second, before the target's dominant
} WayAppliedKind;

/// How a chord is applied.
typedef struct {
  WayAppliedKind kind;
  WayDegree target;  ///< Against the tonic's major scale; 1 for the key itself
  bool target_minor; ///< The target's own triad is minor
} WayApplied;

/**
   Whether, and to what, a chord is applied.

   The rules are in docs/theory.md, section "Numerals", "Which name a chord gets".
   @param chord Not N.C.
   @param next  The chord that follows; NULL if unknown.
   @par Real-time safe.
*/
WAY_RT WayApplied way_applied(const WayChord* chord, const WayChord* next, WayKey key);

#endif
