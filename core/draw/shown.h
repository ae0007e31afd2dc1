// What a picture of an instrument shows: which notes have a sign, and what it says.
#ifndef WAY_DRAW_SHOWN_H
#define WAY_DRAW_SHOWN_H

#include "theory/harmony.h"

/// Room for a sign's letters, with music signs and terminator.
#define WAY_SIGN_MAX 40u

/// Notes by pitch class.
typedef struct {
  WayPcSet set;          ///< Those that have a sign
  WayRoleOf roles[12];   ///< What each is
  WaySpelling names[12]; ///< How each is written
  bool by_name;          ///< Signs say the note's name, not its degree
  WayPcSet targets;      ///< Those with a halo
  double closing;        ///< How far the halo has closed: 0 wide open, 1 closed
} WayShown;

/// The notes of a material over a chord, without targets.
WayShown way_shown_material(const WayHarmony* h, WayMaterial material);
/// The notes of a scale: its tonic as a chord tone, the others as scale tones.
WayShown way_shown_scale(const WayScale* scale);
/// The tones of a chord, extensions included.
WayShown way_shown_chord(const WayHarmony* h);
/// Append what the sign of a pitch class says, with music signs.
void way_shown_sign(const WayShown* shown, WayPc pc, WayOut* out);

/// A note that sounds.
typedef struct {
  uint8_t pitch;  ///< MIDI note
  uint8_t string; ///< Where it is played: 1 for the tuning's first; 0 if not known
} WaySounding;

#endif
