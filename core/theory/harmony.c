#include "theory/harmony.h"

WayHarmony way_harmony(const WayChord* chord, WayKey key, const WayLoopPcs* loop) {
  WayHarmony h = {.chord = *chord, .key = key, .kind = (uint8_t)way_chord_kind(chord)};
  const WayLoopPcs of_loop = loop ? *loop : way_material_pcs_of_key(key);
  const WayPcSet pcs = way_material_chord_scale_pcs(chord, key);
  way_material_sets(chord, &of_loop, pcs, h.material);
  way_role_table(chord, pcs, key.tonic, h.roles);
  return h;
}

WaySpelling way_harmony_spell(const WayHarmony* h, WayPc pc) {
  const WayRoleOf r = h->roles[pc % 12];
  // What the scale has and the key has not is a chord tone.
  return r.role == WAY_ROLE_CHORD ? way_spelling_above(h->chord.root, r.degree)
                                  : way_key_spell(h->key, pc);
}
