// Sets of chord degrees in one word: how symbols are read, compared and written.
#ifndef WAY_THEORY_TONES_H
#define WAY_THEORY_TONES_H

#include "theory/chord.h"

/**
   A set of degrees above a root.

   Five bits for each number of 1 2 3 4 5 6 7 9 11 13, in that order, from double flat
   to double sharp; so walking the bits from the lowest gives a chord's tones in order,
   basic tones first.
*/
typedef uint64_t WayTones;

/// Place of a number among those of a #WayTones; a constant for a constant.
#define WAY_TONE_SLOT(number) ((number) <= 7 ? (number)-1 : ((number) + 5) / 2)
/// One degree, as a set.
#define WAY_TONE(number, alter)                                                        \
  ((WayTones)1 << (5 * WAY_TONE_SLOT(number) + (alter) + 2))
/// Every alteration of one number.
#define WAY_TONES_NUMBERED(number) ((WayTones)31 << (5 * WAY_TONE_SLOT(number)))
/// Every degree numbered 1 to 7: the basic tones.
#define WAY_TONES_BASIC (((WayTones)1 << 35) - 1)
/// Most semitones a degree in a #WayTones may be altered, either way.
#define WAY_TONES_ALTER_MAX 2

/// Whether a set can hold tones of this number.  @par Real-time safe.
static inline bool way_tones_number_ok(int number) {
  return (number >= 1 && number <= 7) || number == 9 || number == 11 || number == 13;
}

/**
   The normal form every chord is kept in.

   Over a third, 2 and 4 are the tensions 9 and 11; over a seventh, 6 is 13.  A tension
   that repeats a 2, 4 or 6 that stands in is dropped.

   @par Real-time safe.
*/
WAY_RT WayTones way_tones_normal(WayTones tones);
/// The degrees of a chord as a set; those a set can't hold are left out.
/// @par Real-time safe.
WAY_RT WayTones way_tones_of_chord(const WayChord* c);
/**
   What a figure adds to a triad: 9 is a seventh and a ninth, and so on.  A dominant 13
   leaves the eleventh out; all others stack it.

   @param figure  2, 6, 7, 9, 11 or 13.
   @param seventh The one that figures mean over this triad.
   @return 0 if it is not a figure.
   @par Real-time safe.
*/
WAY_RT WayTones way_tones_of_figure(int figure, WayTones triad, WayTones seventh);
/// How many tones a set holds.  @par Real-time safe.
WAY_RT unsigned way_tones_count(WayTones tones);
/// A chord of these degrees (at most #WAY_CHORD_TONES_MAX), its bass on the root.
/// @par Real-time safe.
WAY_RT WayChord way_tones_chord(WayTones tones, WaySpelling root);

#endif
