// Short words for sets of degrees.  They have no prefix, so only sources include them.
#ifndef WAY_THEORY_TONE_WORDS_H
#define WAY_THEORY_TONE_WORDS_H

#include "theory/tones.h"

#define NATURAL(number) WAY_TONE(number, 0) ///< As the major scale has it
#define FLAT(number) WAY_TONE(number, -1)
#define SHARP(number) WAY_TONE(number, 1)
#define DOUBLE_FLAT(number) WAY_TONE(number, -2)
#define ANY(number) WAY_TONES_NUMBERED(number) ///< However it is altered
#define MAJOR (NATURAL(1) | NATURAL(3) | NATURAL(5))

#endif
