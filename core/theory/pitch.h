// Pitch classes, sets of them, and MIDI note numbers.
#ifndef WAY_THEORY_PITCH_H
#define WAY_THEORY_PITCH_H

#include "base/attributes.h"

#include <stdbool.h>
#include <stdint.h>

/// Pitch class: semitones above C, 0..11.
typedef uint8_t WayPc;

/// A set of pitch classes: bit n stands for pitch class n (or for n semitones above a
/// root, where a comment says so).  Only bits 0..11 are used.
typedef uint16_t WayPcSet;

/// All twelve pitch classes.
#define WAY_PCS_ALL 0x0FFFu
/// The set that holds only `pc` (0..11).
#define WAY_PC_BIT(pc) ((WayPcSet)(1u << (pc)))

/// The pitch class of any whole number of semitones, negative ones included.
/// @par Real-time safe.
static inline WayPc way_pc(int semitones) {
  return (WayPc)((semitones % 12 + 12) % 12);
}

/// Whether `set` holds `pc` (0..11).  @par Real-time safe.
static inline bool way_pcs_has(WayPcSet set, WayPc pc) { return (set >> pc & 1u) != 0; }

/// The set moved up by `semitones` (0..11).  @par Real-time safe.
static inline WayPcSet way_pcs_move(WayPcSet set, unsigned semitones) {
  return (WayPcSet)(((unsigned)set << semitones | (unsigned)set >> (12 - semitones)) &
                    WAY_PCS_ALL);
}

/// How many pitch classes `set` holds, 0..12.  @par Real-time safe.
static inline unsigned way_pcs_count(WayPcSet set) {
  unsigned n = 0;
  for (; set; set &= (WayPcSet)(set - 1)) ++n;
  return n;
}

#endif
