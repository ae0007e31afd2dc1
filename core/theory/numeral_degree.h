// The degree of a numeral: accidentals and Roman letters.
#ifndef WAY_THEORY_NUMERAL_DEGREE_H
#define WAY_THEORY_NUMERAL_DEGREE_H

#include "base/text.h"

/// A degree as written: what it means in a key is told by theory/key_degree.h.
typedef struct {
  int accidental; ///< Sharps, or flats if below 0
  int8_t number;  ///< 1..7; 0: none
  bool lower;     ///< In lower-case letters
} WayNumeralDegree;

/// Move past accidentals and add them up; a natural counts as 0.
/// @return -#WAY_ALTER_MAX..#WAY_ALTER_MAX; what goes beyond is not read.
/// @par Real-time safe.
WAY_RT int way_numeral_accidentals_read(WayCursor* c);
/// Move past a degree; number 0, and not moved, if there is none.
/// @par Real-time safe.
WAY_RT WayNumeralDegree way_numeral_degree_read(WayCursor* c);
/// Append a degree.  @par Real-time safe.
WAY_RT void way_numeral_degree_write(WayNumeralDegree d, WayOut* out);

#endif
