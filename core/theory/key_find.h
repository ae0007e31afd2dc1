// The key of a run of chords, and the keys of its parts.
#ifndef WAY_THEORY_KEY_FIND_H
#define WAY_THEORY_KEY_FIND_H

#include "theory/chord.h"
#include "theory/key.h"

/// One chord for as long as it sounds.
typedef struct {
  WayChord chord;
  float beats; ///< How long, above 0: quarter notes for way_key_parts(), any unit for
               ///< way_key_find()
} WayHeardChord;

/// A key and how sure it is.
typedef struct {
  WayKey key;       ///< Major or minor
  float confidence; ///< Share of belief among all 24 keys, 0..1
} WayKeyGuess;

/// An answer with its runner-up.
typedef struct {
  WayKeyGuess best, runner_up;
} WayKeyFinding;

/**
   Find the key of chords that go round: the last leads back to the first.

   Weighs how long each chord sounds and what it is in the key, how chords move
   (dominants that resolve, cadences), and which chords open and close.  The rule is in
   docs/theory.md, section "Finding the key".

   @param chords Borrowed; may be NULL if `n` is 0.
   @param n      How many.  With no sounding chord the answer is C major, confidence 0.
   @return Tonics spelled as the chords spell them, in a signature of at most seven
   accidentals.
   @par Real-time safe: O(n), no allocation.
*/
WAY_RT WayKeyFinding way_key_find(const WayHeardChord* chords, size_t n);

/// Bytes of workspace way_key_parts() wants for `n` chords.
#define WAY_KEY_PARTS_WORK(n) ((n)*24u)

/**
   Find the key in force at every chord: parts in one key each, with no more changes
   than the chords ask for.  A few applied dominants do not make a part.

   @param home  The key of the whole: it explains more than another and is kept as
                given, its mode included.
   @param work  Workspace of #WAY_KEY_PARTS_WORK(n) bytes.
   @param keys  Receives `n` keys, major or minor.
   @par Real-time safe in the sense that nothing is allocated: O(n).
*/
WAY_RT void way_key_parts(const WayHeardChord* chords, size_t n, WayKey home,
                          uint8_t* work, WayKey* keys);

#endif
