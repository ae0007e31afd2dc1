// The scales that hold given chords.
#ifndef WAY_THEORY_SCALE_FIT_H
#define WAY_THEORY_SCALE_FIT_H

#include "theory/chord.h"
#include "theory/scale.h"

/// Room for all scales that way_scale_fit() can find.
#define WAY_SCALE_FITS_MAX 1536u

/// Why a scale stands where it does.
typedef struct {
  WayScale scale;
  WayPcSet others;     ///< Its notes that are in none of the chords
  bool first;          ///< Its tonic is the first chord's root
  bool last;           ///< Its tonic is the last chord's root
  bool plain;          ///< It is a major or minor scale
  const WayChord* led; ///< A dominant that leads to its tonic, or NULL; borrowed
} WayScaleFit;

/**
   Find the scales that hold all chords, best first.

   Scales with the same notes are one result, on the tonic the chords speak for.  The
   order is that of docs/theory.md, section "Scales of chords".

   @param chords Borrowed; N.C. is left out.
   @param out    Receives up to `room` scales; `led` points into `chords`.
   @return How many were written; 0 if there is no chord.
   @par Real-time safe: time linear in `n`, once for each row of the scale table.
*/
WAY_RT size_t way_scale_fit(const WayChord* chords, size_t n, WayScaleFit* out,
                            size_t room);
/// Append the reason: `adds C; on the root of the last chord; D7 leads to it`.
/// @par Real-time safe.
WAY_RT void way_scale_fit_write(const WayScaleFit* fit, WayOut* out);

#endif
