// Tunings of instruments with frets.
#ifndef WAY_DRAW_TUNING_H
#define WAY_DRAW_TUNING_H

#include "base/status.h"
#include "base/text.h"

/// Fewest and most strings.
#define WAY_STRINGS_MIN 4u
#define WAY_STRINGS_MAX 9u

/// A tuning.
typedef struct {
  uint8_t n;                     ///< Strings
  uint8_t open[WAY_STRINGS_MAX]; ///< MIDI note of each open string, the string that
                                 ///< lies lowest on the page first
} WayTuning;

/// How many tunings have a name.
unsigned way_tuning_count(void);
/// The name of tuning `index` (0..way_tuning_count()-1): `guitar`.  A static string.
const char* way_tuning_name(unsigned index);
/// The tuning of that index.
WayTuning way_tuning(unsigned index);
/**
   Read a tuning: a name, or 4 to 9 notes with octaves from the lowest string up, with
   blanks or commas between: `E2 A2 D3 G3 B3 E4`.  C4 is MIDI note 60.

   @param out   Left untouched on error.
   @param error Receives column and expectation; may be NULL.
   @return #WAY_OK or #WAY_ERR_SYNTAX.
*/
WayStatus way_tuning_read(WayText text, WayTuning* out, WayError* error);

#endif
