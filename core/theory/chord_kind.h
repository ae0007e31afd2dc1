// The broad kind a chord belongs to: enough to show on a host's plain screen.
#ifndef WAY_THEORY_CHORD_KIND_H
#define WAY_THEORY_CHORD_KIND_H

#include "theory/chord.h"

/// Kinds, by the basic tones alone.
typedef enum {
  WAY_CHORD_KIND_MAJOR,           ///< 1 3, with or without 5 or 6
  WAY_CHORD_KIND_MINOR,           ///< 1 b3, with or without 5 or 6
  WAY_CHORD_KIND_DOMINANT,        ///< 1 3 b7, whatever the fifth
  WAY_CHORD_KIND_MAJOR_SEVENTH,   ///< 1 3 7
  WAY_CHORD_KIND_MINOR_SEVENTH,   ///< 1 b3 and a seventh
  WAY_CHORD_KIND_HALF_DIMINISHED, ///< 1 b3 b5 b7
  WAY_CHORD_KIND_DIMINISHED,      ///< 1 b3 b5, with or without bb7
  WAY_CHORD_KIND_AUGMENTED,       ///< 1 3 #5 without a seventh
  WAY_CHORD_KIND_SUSPENDED,       ///< A second or fourth in place of the third
  WAY_CHORD_KIND_OTHER,           ///< Power chords and everything else
  WAY_CHORD_KIND_COUNT,
} WayChordKind;

/// The kind of a chord; #WAY_CHORD_KIND_OTHER for N.C.  @par Real-time safe.
WAY_RT WayChordKind way_chord_kind(const WayChord* c);
/// `major`, `half-diminished`, ...  A static string.  @par Real-time safe.
WAY_RT const char* way_chord_kind_name(WayChordKind kind);

#endif
