// Keys: a tonic and a mode, and how notes are spelled in them.
#ifndef WAY_THEORY_KEY_H
#define WAY_THEORY_KEY_H

#include "theory/spelling.h"

/// The modes a key can have.  `major` is Ionian and `minor` Aeolian.
typedef enum {
  WAY_MODE_MAJOR,
  WAY_MODE_MINOR,
  WAY_MODE_DORIAN,
  WAY_MODE_PHRYGIAN,
  WAY_MODE_LYDIAN,
  WAY_MODE_MIXOLYDIAN,
  WAY_MODE_LOCRIAN,
  WAY_MODE_COUNT,
} WayMode;

/// A key.
typedef struct {
  WaySpelling tonic;
  WayMode mode;
} WayKey;

/// The name of a mode, in lower case.  A static string.  @par Real-time safe.
WAY_RT const char* way_mode_name(WayMode mode);
/// Pitch classes of the mode's seven notes as semitones above the tonic.
/// @par Real-time safe.
WAY_RT WayPcSet way_mode_set(WayMode mode);
/// Whether two keys have the same tonic, spelled alike, and mode.
/// @par Real-time safe.
WAY_RT bool way_key_equal(WayKey a, WayKey b);
/// Pitch classes of the key's seven notes.  @par Real-time safe.
WAY_RT WayPcSet way_key_set(WayKey key);
/// Sharps (positive) or flats (negative) of the key's signature.  @par Real-time safe.
WAY_RT int way_key_signature(WayKey key);
/// Whether the mode's third is minor.  @par Real-time safe.
WAY_RT bool way_key_is_minor(WayKey key);
/**
   Read a key: `D`, `D major`, `F# minor`, `Bbm`, `D dorian`, `a` (lower case: minor).

   @param out Left untouched on error.
   @return #WAY_OK or #WAY_ERR_SYNTAX.
   @par Real-time safe.
*/
WAY_RT WayStatus way_key_read(WayText text, WayKey* out, WayError* error);
/// Append a key as `Bb major`.  @par Real-time safe.
WAY_RT void way_key_write(WayKey key, WayOut* out);
/**
   Spell a pitch class the way a reader of `key` expects to see it.

   The spelling nearest to the middle of the key's notes on the line of fifths; of two
   equally near ones the one nearer to the tonic, then the flat one.  So notes of the
   key keep their letter, and a minor key's raised sixth and seventh are sharpened.

   @param pc 0..11.
   @par Real-time safe.
*/
WAY_RT WaySpelling way_key_spell(WayKey key, WayPc pc);

#endif
