#include "draw/shown.h"

#include "draw/label.h"

static WayShown of_harmony(const WayHarmony* h, WayPcSet set) {
  WayShown shown = {.set = set};
  for (WayPc pc = 0; pc < 12; ++pc) {
    shown.roles[pc] = h->roles[pc];
    shown.names[pc] = way_harmony_spell(h, pc);
  }
  return shown;
}

WayShown way_shown_material(const WayHarmony* h, WayMaterial material) {
  return of_harmony(h, h->material[material]);
}

WayShown way_shown_chord(const WayHarmony* h) {
  return of_harmony(h, way_chord_pcs(&h->chord));
}

WayShown way_shown_scale(const WayScale* scale) {
  const WayChord none = way_chord_none();
  WayShown shown = {.set = way_scale_pcs(scale)};
  way_role_table(&none, shown.set, scale->tonic, shown.roles);
  for (WayPc pc = 0; pc < 12; ++pc)
    shown.names[pc] = way_spelling_above(scale->tonic, shown.roles[pc].degree);
  for (unsigned i = 0; i < scale->n; ++i) {
    const WayPc pc = way_spelling_pc(way_scale_note(scale, i));
    shown.roles[pc].degree = scale->degrees[i];
    shown.names[pc] = way_scale_note(scale, i);
  }
  shown.roles[way_spelling_pc(scale->tonic)].role = WAY_ROLE_CHORD;
  return shown;
}

void way_shown_sign(const WayShown* shown, WayPc pc, WayOut* out) {
  char text[WAY_SPELLING_MAX];
  WayOut plain = way_out(text, sizeof(text));
  if (shown->by_name)
    way_spelling_write(shown->names[pc], &plain);
  else
    way_role_degree_write(shown->roles[pc].degree, &plain);
  way_label_signs(text, out);
}
