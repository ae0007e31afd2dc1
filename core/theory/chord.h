// Chords as values: a root, a bass and the degrees that sound above the root.
#ifndef WAY_THEORY_CHORD_H
#define WAY_THEORY_CHORD_H

#include "theory/spelling.h"

/// Most tones one chord can hold.
#define WAY_CHORD_TONES_MAX 12u
/// Room for any written chord symbol, with its terminator.
#define WAY_SYMBOL_MAX 128u

/**
   A chord.

   Basic tones (1 3 5 7, or the 2, 4 or 6 that stands in for one) come first, in rising
   order of number; extensions (9, 11, 13 and their alterations) follow, likewise.
   Over a third, 2 and 4 are counted as 9 and 11; over a seventh, 6 as 13.
*/
typedef struct {
  WaySpelling root;
  WaySpelling bass;                     ///< Equals root unless the symbol has a slash
  WayDegree tones[WAY_CHORD_TONES_MAX]; ///< Degrees above the root
  uint8_t n_tones;                      ///< 0 for N.C.
  uint8_t n_basic;                      ///< How many of them are basic tones
} WayChord;

/// No chord: silence, written `N.C.`.  @par Real-time safe.
WAY_RT WayChord way_chord_none(void);
/// Whether nothing sounds.  @par Real-time safe.
static inline bool way_chord_is_none(const WayChord* c) { return !c->n_tones; }
/// Whether two chords have the same root, bass and tones, written alike.
/// @par Real-time safe.
WAY_RT bool way_chord_equal(const WayChord* a, const WayChord* b);
/// Pitch classes of all tones; the bass is not added.  @par Real-time safe.
WAY_RT WayPcSet way_chord_pcs(const WayChord* c);
/// Pitch classes of the basic tones alone.  @par Real-time safe.
WAY_RT WayPcSet way_chord_basic_pcs(const WayChord* c);
/// The tone with this pitch class, or NULL.  Borrowed from `c`.  @par Real-time safe.
WAY_RT const WayDegree* way_chord_tone_at(const WayChord* c, WayPc pc);
/// The tone with this number (1..14), or NULL.  Borrowed from `c`.
/// @par Real-time safe.
WAY_RT const WayDegree* way_chord_tone_numbered(const WayChord* c, int number);
/// Whether it has the tone with this number, altered so: a flat third is 3, -1.
/// @par Real-time safe.
static inline bool way_chord_has(const WayChord* c, int number, int alter) {
  const WayDegree* const tone = way_chord_tone_numbered(c, number);
  return tone && tone->alter == alter;
}
/// Put a tone in at its place, instead of one with the same number; left out where the
/// chord is full.  @par Real-time safe.
WAY_RT void way_chord_put(WayChord* c, WayDegree tone);
/// Take the tone with this number out, if it is there.  @par Real-time safe.
WAY_RT void way_chord_drop(WayChord* c, int number);
/// Make the tone with this number the bass.
/// @return Whether it is there; else nothing is changed.  @par Real-time safe.
WAY_RT bool way_chord_invert(WayChord* c, int number);
/// The chord moved so that `from` becomes `to`, letters and all.  @par Real-time safe.
WAY_RT WayChord way_chord_transposed(const WayChord* c, WaySpelling from,
                                     WaySpelling to);

#endif
