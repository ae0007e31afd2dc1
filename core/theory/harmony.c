#include "theory/harmony.h"

WayHarmony way_harmony(const WayChord* chord, WayKey key, const WayLoopScales* loop) {
  WayHarmony h = {.chord = *chord, .key = key, .kind = (uint8_t)way_chord_kind(chord)};
  const WayLoopScales scales = loop ? *loop : way_material_of_key(key);
  const WayPcSet pcs = way_material_chord_scale_pcs(chord, key);
  for (int m = 0; m < WAY_MATERIAL_COUNT; ++m)
    h.material[m] = way_material_set((WayMaterial)m, chord, &scales, pcs);
  way_role_table(chord, pcs, key.tonic, h.roles);
  return h;
}

WaySpelling way_harmony_spell(const WayHarmony* h, WayPc pc) {
  const WayRoleOf r = h->roles[pc % 12];
  // What the scale has and the key has not is a chord tone.
  return r.role == WAY_ROLE_CHORD ? way_spelling_above(h->chord.root, r.degree)
                                  : way_key_spell(h->key, pc);
}
