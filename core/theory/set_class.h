// Set classes: sets of pitch classes that are alike but for transposition and
// inversion.
#ifndef WAY_THEORY_SET_CLASS_H
#define WAY_THEORY_SET_CLASS_H

#include "base/text.h"
#include "theory/pitch.h"

/// The name of a set class.
typedef struct {
  uint8_t size;    ///< How many pitch classes, 0..12
  uint8_t ordinal; ///< Its place in Forte's list, from 1; 0 for the empty set
  bool z;          ///< Another class has the same intervals
  char form;       ///< 'A' as the prime form, 'B' inverted; 0 if both are the same
} WaySetClass;

/**
   The set class of some pitch classes.

   Names and prime forms are those of A. Forte, The Structure of Atonal Music (1973),
   appendix 1; sets of more than six have the ordinal of their complement.  A and B tell
   a set from its inversion: the minor triad is 3-11A, the major triad 3-11B.
   @par Real-time safe.
*/
WAY_RT WaySetClass way_set_class(WayPcSet set);
/// The prime form: the set, or its inversion, moved and turned so that it starts on 0
/// and is packed to the left (Forte's reading of that).  @par Real-time safe.
WAY_RT WayPcSet way_set_prime_form(WayPcSet set);
/// Append a name as `4-27B` or `4-Z15A`.  @par Real-time safe.
WAY_RT void way_set_class_write(WaySetClass c, WayOut* out);

#endif
