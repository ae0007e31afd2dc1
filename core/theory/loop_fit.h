// The scales that serve a whole loop, chosen by what they share with its chords.
#ifndef WAY_THEORY_LOOP_FIT_H
#define WAY_THEORY_LOOP_FIT_H

#include "theory/material.h"

/// What the chords of a loop add up to.  Starts as `{0}`; N.C. adds nothing.
typedef struct {
  double weight;    ///< Of all chords together
  double tones[12]; ///< By pitch class: each chord gives its weight in equal parts to
                    ///< its tones
} WayLoopSum;

/// One scale over a loop.
typedef struct {
  WayScale scale;
  double share; ///< Part of the chord tones' weight that the scale holds, 0..1
  double value; ///< What the choice went by; docs/theory.md, section "Loops"
} WayLoopFit;

/// The best scale of a kind, and the best of those with other notes.
typedef struct {
  WayLoopFit best;
  WayLoopFit next; ///< The runner-up
} WayLoopChoice;

/// Add one chord.  @param weight How long it sounds, in any unit, 0 or more.
/// @par Real-time safe.
WAY_RT void way_loop_add(WayLoopSum* sum, const WayChord* chord, double weight);
/**
   Choose the loop's scale of one kind.

   @param material #WAY_MATERIAL_PENTATONIC, #WAY_MATERIAL_BLUES or
   #WAY_MATERIAL_PARENT.  A blues scale is judged by its pentatonic: the blues note is
   there to pass through.
   @param key Decides between equals, and gives the spelling.  With nothing added the
   scale of way_material_of_key() comes out best.
   @par Real-time safe: constant time.
*/
WAY_RT WayLoopChoice way_loop_choose(const WayLoopSum* sum, WayMaterial material,
                                     WayKey key);
/// All three at once, without their runners-up.  @par Real-time safe: constant time.
WAY_RT WayLoopScales way_loop_scales(const WayLoopSum* sum, WayKey key);

#endif
