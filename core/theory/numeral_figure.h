// Quality marks and the figures of thorough bass, as they stand behind a degree.
#ifndef WAY_THEORY_NUMERAL_FIGURE_H
#define WAY_THEORY_NUMERAL_FIGURE_H

#include "theory/chord.h"

/// Append a suffix or figure with plain digits in place of raised and lowered ones, and
/// without slashes between digits.  @par Real-time safe.
WAY_RT void way_numeral_figure_plain(WayText from, WayOut* out);
/**
   Read a mark and a figure (`o7`, `65`, `M42`) as a chord on C.

   Accidentals between the figures (`6b5`, `o6#4`) add nothing: case and mark say
   already what they remind of.

   @param suffix All that follows the degree, at most #WAY_SYMBOL_MAX - 1 bytes, as
                 way_numeral_figure_plain() leaves it.
   @param lower  The degree is in lower case.
   @param out    May be written to even if it is no such chord.
   @return Whether the suffix is a mark and a figure.
   @par Real-time safe.
*/
WAY_RT bool way_numeral_figure_read(WayText suffix, bool lower, WayChord* out);
/// The chord suffix that a figure stands for which is no inversion (`54`: `sus4`); NULL
/// if it is none.  A static string.  @par Real-time safe.
WAY_RT const char* way_numeral_figure_suffix(WayText figure);
/**
   Append mark and figure of a chord on C.

   @return Whether it has them: its tones are those of a triad or seventh chord, its
           bass is one of them.  Else nothing is appended.
   @par Real-time safe.
*/
WAY_RT bool way_numeral_figure_write(const WayChord* on_c, WayOut* out);

#endif
