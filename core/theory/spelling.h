// Written notes: a letter with its accidentals; and degrees above a root.
#ifndef WAY_THEORY_SPELLING_H
#define WAY_THEORY_SPELLING_H

#include "base/status.h"
#include "base/text.h"
#include "theory/pitch.h"

/// A written note without its octave.  B# is {6, 1}, Ebb is {2, -2}.
typedef struct {
  int8_t letter; ///< 0..6 for C D E F G A B
  int8_t alter;  ///< Semitones the accidentals add: -1 flat, +1 sharp, up to
                 ///< +-#WAY_ALTER_MAX
} WaySpelling;

/// Most accidentals a reader accepts on one note.
#define WAY_ALTER_MAX 4

/// A place above a root: the third, the flat seventh, the sharp eleventh.
typedef struct {
  int8_t number; ///< 1..14; compounds (9, 11, 13) are kept apart from 2, 4, 6
  int8_t alter;  ///< Semitones against the major scale: b3 is {3, -1}, bb7 is {7, -2}
} WayDegree;

/// Room for a written spelling or degree, with its terminator.
#define WAY_SPELLING_MAX 12u

/// The pitch class of a written note.  @par Real-time safe.
WAY_RT WayPc way_spelling_pc(WaySpelling s);
/// Whether two notes are written alike (C# and Db are not).  @par Real-time safe.
WAY_RT bool way_spelling_equal(WaySpelling a, WaySpelling b);
/**
   Place on the line of fifths: F -1, C 0, G 1, D 2 ... B 5, F# 6, and Bb -2.

   @par Real-time safe.
*/
WAY_RT int way_spelling_fifths(WaySpelling s);
/// The note at a place on the line of fifths.  @par Real-time safe.
WAY_RT WaySpelling way_spelling_at_fifths(int fifths);
/**
   Read a letter A..G (either case) with accidentals: `#`, `b`, `x` or `##`, `bb`, and
   U+266F, U+266D, U+266E, U+1D12A, U+1D12B.

   @param c   Moved past what was read; not moved on error.
   @param out Left untouched on error.
   @return #WAY_OK, or #WAY_ERR_SYNTAX with the place in `error` (may be NULL).
   @par Real-time safe.
*/
WAY_RT WayStatus way_spelling_read(WayCursor* c, WaySpelling* out, WayError* error);
/// Append a note as ASCII: `F#`, `Bb`, `Cbb`, `Fx` is written `F##`.
/// @par Real-time safe.
WAY_RT void way_spelling_write(WaySpelling s, WayOut* out);
/// The note `degree` above `root`: the flat third above D is F.  @par Real-time safe.
WAY_RT WaySpelling way_spelling_above(WaySpelling root, WayDegree degree);
/// The same pitch class with at most one accidental, the sharp or flat `s` leans to;
/// naturals win (Bbb becomes A, E# becomes F, F## becomes G).  @par Real-time safe.
WAY_RT WaySpelling way_spelling_simple(WaySpelling s);

/// Semitones of a degree above its root, not folded: 9 is 14, b9 is 13.
/// @par Real-time safe.
WAY_RT int way_degree_semitones(WayDegree d);
/// The same folded to 0..11.  @par Real-time safe.
WAY_RT WayPc way_degree_pc(WayDegree d);
/**
   Read a degree: accidentals, then 1..14; or `R` for the root.

   @return #WAY_OK, or #WAY_ERR_SYNTAX; `c` and `out` are then left alone.
   @par Real-time safe.
*/
WAY_RT WayStatus way_degree_read(WayCursor* c, WayDegree* out, WayError* error);
/// Append a degree as in a formula: `1`, `b3`, `#11`, `bb7`.  @par Real-time safe.
WAY_RT void way_degree_write(WayDegree d, WayOut* out);

#endif
