// Chords from notes: every common name for a set of sounding notes, best first.
#ifndef WAY_THEORY_CHORD_FIND_H
#define WAY_THEORY_CHORD_FIND_H

#include "theory/key.h"
#include "theory/tones.h"

/// Most names one set of notes is given.
#define WAY_FOUND_MAX 16u

/// What is known beside the notes.  All zero: nothing.
typedef struct {
  const WayKey* key;        ///< Spells the names and chooses among equals; may be NULL
  const WayChord* previous; ///< The chord before chooses among equals; may be NULL
  /// How each pitch class was written, a letter below 0 where it was not; 12 entries;
  /// may be NULL.
  const WaySpelling* written;
  bool rootless; ///< The root is left out: only roots that don't sound are tried
} WayFindHints;

/// One name.
typedef struct {
  WayChord chord; ///< With the tones that are implied and not heard
  WayTones heard; ///< Its tones that sound
  bool rootless;  ///< The root does not sound
} WayFound;

/**
   Name the chord that some notes make.

   Doublings and octaves do not count, only which note is lowest.  A name may imply a
   perfect fifth that is not heard.  Names that are equally good (C6 and Am7, the four
   of a diminished seventh) are all given; the bass decides which comes first, then the
   key, then the chord before.  The rules are in docs/theory.md, section "Chords from
   notes".

   @param notes Pitch classes that sound.
   @param bass  The lowest of them, 0..11; one of `notes`.
   @param hints May be NULL.
   @param out   Receives the names, best first.
   @return How many; 0 if there is no common name.
   @par Real-time safe: constant time.
*/
WAY_RT unsigned way_chord_find(WayPcSet notes, WayPc bass, const WayFindHints* hints,
                               WayFound out[WAY_FOUND_MAX]);

#endif
