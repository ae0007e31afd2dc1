// The guide-tone line: one tone a chord, moving as little as possible.
#ifndef WAY_THEORY_GUIDE_LINE_H
#define WAY_THEORY_GUIDE_LINE_H

#include "theory/chord.h"

/// One chord of the form, as the line meets it.
typedef struct {
  WayChord chord;
  WayDegree target; ///< The tone to take, above the root; number 0: the line chooses
} WayLineChord;

/// In WayLineTone.pitch: silence.
#define WAY_LINE_SILENT 255u

/// One tone of the line.
typedef struct {
  uint8_t pitch;    ///< MIDI note, or #WAY_LINE_SILENT under N.C.
  bool common;      ///< The pitch of the tone before it: it can be held
  WayDegree degree; ///< Above the chord's root; number 0 under N.C.
} WayLineTone;

/// Widest range of a line, in pitches.
#define WAY_LINE_SPAN_MAX 64u
/// Bytes of workspace way_line_find() wants for `n` chords.
#define WAY_LINE_WORK(n) ((n)*WAY_LINE_SPAN_MAX)

/**
   Find the line over a form that goes round: the last tone leads back to the first.

   A chord with a third and a seventh (or what stands in for them: 2 or 4, 6) takes one
   of the two.  Other chords take the third, or, at a small price, a tone that the chord
   before does not have.  Of all such lines it is one whose movement, added up over the
   whole form and back to its top, is least; among equals, one that begins nearest the
   middle of the range.  The rule is in docs/theory.md, section "Guide-tone line".

   @param chords Borrowed.
   @param low, high Range, MIDI notes, 12 to #WAY_LINE_SPAN_MAX pitches wide, so that it
                 holds every tone at least once.
   @param work   Workspace of #WAY_LINE_WORK(n) bytes.
   @param out    Receives `n` tones; left untouched on error.
   @return #WAY_OK, or #WAY_ERR_RANGE for a range that is not as described.
   @par Real-time safe in the sense that nothing is allocated: O(n) for a given range.
*/
WAY_RT WayStatus way_line_find(const WayLineChord* chords, size_t n, uint8_t low,
                               uint8_t high, uint8_t* work, WayLineTone* out);

#endif
