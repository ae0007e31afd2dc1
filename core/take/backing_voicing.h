// Chords set for comping: four parts in drop-2, triads open, led as smoothly as can be.
#ifndef WAY_TAKE_BACKING_VOICING_H
#define WAY_TAKE_BACKING_VOICING_H

#include "base/status.h"
#include "theory/chord.h"

/// Most notes of a voicing.
#define WAY_VOICES_MAX 4
/// Most voicings one chord has within the range.
#define WAY_VOICINGS_MAX 12
/// Range of voicings: E3 to G5.
#define WAY_VOICING_LOW 52
#define WAY_VOICING_HIGH 79

/// Notes struck together, rising.
typedef struct {
  uint8_t n; ///< 0 under N.C.
  uint8_t pitch[WAY_VOICES_MAX];
} WayVoicing;

/**
   Every voicing of a chord within the range.

   Of chords with more than four tones those that tell most are taken: third (or what
   stands in for it), seventh (or sixth), altered fifth, extensions from the highest,
   natural fifth, root; the bass has the root.  Four tones stand in drop-2 position: in
   close order, the second voice from above an octave down.  Three tones stand open: the
   same with three voices.  A fifth stands between octaves.

   @param out Receives at most #WAY_VOICINGS_MAX voicings; one empty one under N.C.
   @return How many; at least 1.
*/
unsigned way_voicings_of(const WayChord* chord, WayVoicing* out);
/// How far the voices move: each to its partner from below, or, where the number of
/// voices differs, each to the nearest on the other side.
unsigned way_voicing_distance(const WayVoicing* a, const WayVoicing* b);
/**
   Lead the voices through a form that goes round: of all ways to choose a voicing for
   each chord, one whose movement, back to the top included, is least; among these, one
   that begins nearest the middle of the range.  Silence is passed over.

   @param chords Borrowed; `n` at least 1.
   @param out    Receives `n` voicings; left untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.  Linear in `n`.
*/
WayStatus way_voicings_lead(const WayChord* const* chords, size_t n, WayVoicing* out);

#endif
