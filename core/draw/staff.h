// Notes on a staff: where they stand and how long they are written.  Pure geometry.
#ifndef WAY_DRAW_STAFF_H
#define WAY_DRAW_STAFF_H

#include "theory/key.h"
#include "time/beat.h"

/// Clefs.
typedef enum {
  WAY_CLEF_TREBLE, ///< Bottom line E4
  WAY_CLEF_BASS,   ///< Bottom line G2
} WayClef;

/// Where a written note stands: 0 on the bottom line, 1 in the space above it, 8 on the
/// top line; negative below.
/// @param pitch MIDI note of the written note.
int way_staff_step(WayClef clef, WaySpelling note, int pitch);

/// Most signs of a key signature.
#define WAY_SIGNATURE_MAX 7u
/**
   The key signature.

   @param steps Receives where each sign stands, in the order they are written.
   @return How many; positive for sharps, negative for flats.  A key of more than seven
   is written without a signature: 0.
*/
int way_staff_signature(WayClef clef, WayKey key, int8_t steps[WAY_SIGNATURE_MAX]);

/// The accidentals in force in a bar.
typedef struct {
  int8_t by_letter[7]; ///< Of the signature
  int8_t step[64];     ///< Semitones in force, by step + 32
} WayStaffBar;

/// A bar begins: only the signature is in force.
WayStaffBar way_staff_bar(WayClef clef, WayKey key);
/// Write a note into the bar.  @return Whether it needs its accidental (a natural, if
/// the note has none).
bool way_staff_accidental(WayStaffBar* bar, WaySpelling note, int step);

/// A written length.
typedef struct {
  WayTick ticks;
  bool hollow; ///< An open head
  bool stem;
  uint8_t flags; ///< On the stem
  bool dot;
} WayStaffValue;

/// Most values one length is written as.
#define WAY_VALUES_MAX 8u
/**
   The values a length is written as, tied, the longest first.

   @return How many; 0 for a length that cannot be written without tuplets.
*/
unsigned way_staff_values(WayTick length, WayStaffValue out[WAY_VALUES_MAX]);

#endif
