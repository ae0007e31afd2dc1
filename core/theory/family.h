// The broad family a chord belongs to: enough to show on a host's plain screen.
#ifndef WAY_THEORY_FAMILY_H
#define WAY_THEORY_FAMILY_H

#include "theory/chord.h"

/// Families, by the basic tones alone.
typedef enum {
  WAY_FAMILY_MAJOR,           ///< 1 3, with or without 5 or 6
  WAY_FAMILY_MINOR,           ///< 1 b3, with or without 5 or 6
  WAY_FAMILY_DOMINANT,        ///< 1 3 b7, whatever the fifth
  WAY_FAMILY_MAJOR_SEVENTH,   ///< 1 3 7
  WAY_FAMILY_MINOR_SEVENTH,   ///< 1 b3 and a seventh
  WAY_FAMILY_HALF_DIMINISHED, ///< 1 b3 b5 b7
  WAY_FAMILY_DIMINISHED,      ///< 1 b3 b5, with or without bb7
  WAY_FAMILY_AUGMENTED,       ///< 1 3 #5 without a seventh
  WAY_FAMILY_SUSPENDED,       ///< A second or fourth in place of the third
  WAY_FAMILY_OTHER,           ///< Power chords and everything else
  WAY_FAMILY_COUNT,
} WayFamily;

/// The family of a chord; #WAY_FAMILY_OTHER for N.C.  @par Real-time safe.
WAY_RT WayFamily way_family(const WayChord* c);
/// `major`, `half-diminished`, ...  A static string.  @par Real-time safe.
WAY_RT const char* way_family_name(WayFamily family);

#endif
