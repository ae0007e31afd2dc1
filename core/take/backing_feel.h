// How a backing moves: which beats chords and bass strike, feel by feel.  The patterns
// are our own; a newcomer adds a feel as one row of the table in backing_feel.c.
#ifndef WAY_TAKE_BACKING_FEEL_H
#define WAY_TAKE_BACKING_FEEL_H

#include "time/beat.h"

/// The feels.
typedef enum {
  WAY_FEEL_STRAIGHT,
  WAY_FEEL_SWING,
  WAY_FEEL_WALTZ,
  WAY_FEEL_BOSSA,
  WAY_FEEL_COUNT,
} WayFeel;

/// The parts that have patterns.
typedef enum {
  WAY_FEEL_COMPING,
  WAY_FEEL_BASS,
  WAY_FEEL_PARTS,
} WayFeelPart;

/// What a bass note is to its chord.
typedef enum {
  WAY_BASS_ROOT, ///< Its bass
  WAY_BASS_THIRD,
  WAY_BASS_FIFTH,
  WAY_BASS_OCTAVE,
  WAY_BASS_APPROACH, ///< A half step from the bass of the next chord
} WayBassTone;

/// One note, or one chord, of a pattern.
typedef struct {
  WayTick start, length; ///< From the bar's start
  bool accent;           ///< Loud
  uint8_t tone;          ///< A #WayBassTone; of the bass alone
} WayHit;

/// Most hits in one bar: three for each of 64 beats.
#define WAY_HITS_MAX 192u

/// `straight`, `swing`, `waltz` or `bossa`.  A static string.
const char* way_feel_name(WayFeel feel);
/// The feel where none is asked for: a waltz for three quarter notes, else straight.
WayFeel way_feel_of_metre(WayMetre metre);
/**
   The hits of one bar, rising.

   A bar is filled with cells of four beats, and what is left with one of three, two or
   one; five is three and two, seven four and three, and eighth notes or finer go in
   threes where three divides the bar.

   @param bar Number of the bar: patterns change between even and odd bars.
   @param out Receives at most #WAY_HITS_MAX hits.
   @return How many.
*/
unsigned way_feel_bar(WayFeel feel, WayFeelPart part, WayMetre metre, uint32_t bar,
                      WayHit* out);

#endif
