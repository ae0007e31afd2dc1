// What a pitch is to a chord.
#ifndef WAY_THEORY_ROLE_H
#define WAY_THEORY_ROLE_H

#include "theory/chord.h"
#include "theory/key.h"

/// What a pitch is to the chord of the moment.
typedef enum {
  WAY_ROLE_CHORD,     ///< One of the chord's tones
  WAY_ROLE_SCALE,     ///< Not in the chord, but in the chord's scale
  WAY_ROLE_CHROMATIC, ///< Neither
  WAY_ROLE_COUNT,
} WayRole;

/// The answer for one pitch class.
typedef struct {
  uint8_t role;     ///< A #WayRole
  uint8_t interval; ///< Semitones above the chord's root, 0..11
  bool extension;   ///< A chord tone that is a 9, 11 or 13 of the symbol, or a foreign
                    ///< bass
  WayDegree degree; ///< How the pitch is named above the root
} WayRoleOf;

/// `chord tone`, `scale tone` or `chromatic`.  A static string.  @par Real-time safe.
WAY_RT const char* way_role_name(WayRole role);
/// Append a degree as a role label: `R` for the root, else as in a formula.
/// @par Real-time safe.
WAY_RT void way_role_degree_write(WayDegree d, WayOut* out);
/**
   Answer for all twelve pitch classes at once.

   @param chord The chord; with N.C. every note of the scale is a scale tone, the rest
                chromatic, and degrees count from the scale's tonic.
   @param scale Pitch classes of the chord's scale (see way_material_chord_scale()).
   @param tonic Counts degrees when there is no chord.
   @param out   Twelve entries, indexed by pitch class (0 = C).
   @par Real-time safe: constant time.
*/
WAY_RT void way_role_table(const WayChord* chord, WayPcSet scale, WaySpelling tonic,
                           WayRoleOf out[12]);

#endif
