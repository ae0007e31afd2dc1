// Scales: a table of types, and a type on a tonic.
#ifndef WAY_THEORY_SCALE_H
#define WAY_THEORY_SCALE_H

#include "theory/spelling.h"

/// Most notes a scale can have.
#define WAY_SCALE_NOTES_MAX 12u

/// Families of scales, those that are meant most often first.
typedef enum {
  WAY_FAMILY_MAJOR,     ///< Modes of the major scale
  WAY_FAMILY_SIMPLE,    ///< Major and minor pentatonic and blues
  WAY_FAMILY_MELODIC,   ///< Modes of the melodic minor scale
  WAY_FAMILY_HARMONIC,  ///< Modes of the harmonic minor scale
  WAY_FAMILY_SYMMETRIC, ///< Whole-tone, diminished and augmented scales
  WAY_FAMILY_BEBOP,     ///< Seven notes and a passing one
  WAY_FAMILY_HARMONIC_MAJOR,
  WAY_FAMILY_DOUBLE_HARMONIC,
  WAY_FAMILY_OTHER,
  WAY_FAMILY_COUNT,
} WayScaleFamily;

/// One row of the scale table.
typedef struct {
  const char* name;    ///< Lower case, as printed
  const char* others;  ///< Other established names, separated by `|`; may be ""
  const char* formula; ///< Degrees, separated by blanks: `1 2 b3 4 5 b6 b7`
  WayScaleFamily family;
} WayScaleType;

/// A scale on a tonic.
typedef struct {
  WaySpelling tonic;
  const WayScaleType* type;               ///< Row of the table, or NULL
  uint8_t n;                              ///< Notes
  WayDegree degrees[WAY_SCALE_NOTES_MAX]; ///< Rising, the first is 1
} WayScale;

/// How many types the table has.  @par Real-time safe.
WAY_RT unsigned way_scale_count(void);
/// Row `index` (0..way_scale_count()-1).  A static row.  @par Real-time safe.
WAY_RT const WayScaleType* way_scale_type(unsigned index);
/**
   Find a type by its name or another of its names, letter case and blanks aside.

   @return A static row, or NULL.
   @par Real-time safe.
*/
WAY_RT const WayScaleType* way_scale_find(WayText name);
/// What a family is called.  A static string.  @par Real-time safe.
WAY_RT const char* way_scale_family_name(WayScaleFamily family);
/// The type whose notes, as semitones above its tonic, are `set`; NULL if there
/// is none.  @par Real-time safe: linear in the table.
WAY_RT const WayScaleType* way_scale_of_set(WayPcSet set);
/**
   Read a tonic and the name of a scale: `A minor blues`, `F# dorian`.

   @param out Left untouched on error.
   @return #WAY_OK or #WAY_ERR_SYNTAX.
   @par Real-time safe: linear in the table and the text.
*/
WAY_RT WayStatus way_scale_read(WayText text, WayScale* out, WayError* error);
/// The scale of a type on a tonic.  @par Real-time safe.
WAY_RT WayScale way_scale_on(WaySpelling tonic, const WayScaleType* type);
/// Its pitch classes.  @par Real-time safe.
WAY_RT WayPcSet way_scale_pcs(const WayScale* s);
/// Note `i` (0..n-1), spelled by its degree.  @par Real-time safe.
WAY_RT WaySpelling way_scale_note(const WayScale* s, unsigned i);
/// The degree (1..7) of a written note above a tonic; the letters decide the number.
/// @par Real-time safe.
WAY_RT WayDegree way_scale_degree(WaySpelling tonic, WaySpelling note);

#endif
