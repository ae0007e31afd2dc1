// Everything the rest of the program asks about one chord in its key, worked out once.
#ifndef WAY_THEORY_HARMONY_H
#define WAY_THEORY_HARMONY_H

#include "theory/chord_kind.h"
#include "theory/material.h"
#include "theory/role.h"

/// One chord in its key, with every pitch class answered.  A value: copy it freely.
typedef struct {
  WayChord chord;
  WayKey key;                            ///< The key it is heard in
  uint8_t kind;                          ///< The chord's #WayChordKind
  WayRoleOf roles[12];                   ///< By pitch class
  WayPcSet material[WAY_MATERIAL_COUNT]; ///< By #WayMaterial
} WayHarmony;

/**
   Work out a chord in a key over a loop.

   @param loop The loop's scales; NULL takes way_material_pcs_of_key().
   @par Real-time safe.
*/
WAY_RT WayHarmony way_harmony(const WayChord* chord, WayKey key,
                              const WayLoopPcs* loop);
/// What `pitch` (a MIDI note, 0..127) is to the harmony.  @par Real-time safe: one
/// look-up.
static inline WayRoleOf way_harmony_role(const WayHarmony* h, int pitch) {
  return h->roles[way_pc(pitch)];
}
/// How a pitch class is written over this chord: chord tones by their degree above the
/// root, others by the key.  @par Real-time safe.
WAY_RT WaySpelling way_harmony_spell(const WayHarmony* h, WayPc pc);

#endif
