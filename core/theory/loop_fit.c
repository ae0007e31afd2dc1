#include "theory/loop_fit.h"

// What the key may add to a share: half for its tonic, half for the notes in common.
#define HOME 0.04

void way_loop_add(WayLoopSum* sum, const WayChord* chord, double weight) {
  if (way_chord_is_none(chord)) return;
  const WayPcSet tones = way_chord_pcs(chord);
  sum->weight += weight;
  for (WayPc pc = 0; pc < 12; ++pc)
    if (way_pcs_has(tones, pc)) sum->tones[pc] += weight / way_pcs_count(tones);
}

// The scales to choose from, by material, as names in the table of scales.
static const char* const kinds[WAY_MATERIAL_COUNT][8] = {
    [WAY_MATERIAL_PENTATONIC] = {"major pentatonic", "minor pentatonic"},
    [WAY_MATERIAL_PARENT] = {"major", "minor", "dorian", "mixolydian", "lydian",
                             "phrygian", "harmonic minor", "melodic minor"},
};

static WayLoopFit judge(const WayLoopSum* sum, WayScale scale, const WayScale* home) {
  WayLoopFit fit = {.scale = scale};
  const WayPcSet set = way_scale_pcs(&scale);
  double tones = 0;
  for (WayPc pc = 0; pc < 12; ++pc)
    if (way_pcs_has(set, pc)) tones += sum->tones[pc];
  if (sum->weight > 0) fit.share = tones / sum->weight;
  const bool tonic = way_spelling_equal(scale.tonic, home->tonic);
  const unsigned common = way_pcs_count((WayPcSet)(set & way_scale_pcs(home)));
  fit.value = fit.share + HOME / 2 * (tonic + (double)common / scale.n);
  return fit;
}

// Put a fit where it belongs; `choice` never holds the same notes twice.
static void enter(WayLoopChoice* choice, const WayLoopFit* fit) {
  const bool same = way_scale_pcs(&fit->scale) == way_scale_pcs(&choice->best.scale);
  if (!choice->best.scale.n || fit->value > choice->best.value) {
    if (!same) choice->next = choice->best;
    choice->best = *fit;
  } else if (!same && (!choice->next.scale.n || fit->value > choice->next.value)) {
    choice->next = *fit;
  }
}

// The blues note is there to pass through: a blues scale is judged by its pentatonic.
static void add_blues_note(WayLoopFit* fit) {
  const bool minor = way_degree_semitones(fit->scale.degrees[1]) == 3;
  fit->scale =
      way_scale_on(fit->scale.tonic,
                   way_scale_find(way_text(minor ? "minor blues" : "major blues")));
}

WayLoopChoice way_loop_choose(const WayLoopSum* sum, WayMaterial material, WayKey key) {
  if (material == WAY_MATERIAL_BLUES) {
    WayLoopChoice blues = way_loop_choose(sum, WAY_MATERIAL_PENTATONIC, key);
    add_blues_note(&blues.best);
    add_blues_note(&blues.next);
    return blues;
  }
  const WayLoopScales of_key = way_material_of_key(key);
  const WayScale home =
      material == WAY_MATERIAL_PENTATONIC ? of_key.pentatonic : of_key.parent;
  WayLoopChoice choice = {0};
  const WayLoopFit first = judge(sum, home, &home);
  enter(&choice, &first);
  for (size_t k = 0; k < WAY_COUNT(kinds[0]) && kinds[material][k]; ++k) {
    const WayScaleType* const type = way_scale_find(way_text(kinds[material][k]));
    for (int up = 0; up < 12; ++up) {
      const WaySpelling tonic =
          way_key_spell(key, way_pc(way_spelling_pc(key.tonic) + up));
      const WayLoopFit fit = judge(sum, way_scale_on(tonic, type), &home);
      enter(&choice, &fit);
    }
  }
  return choice;
}

WayLoopScales way_loop_scales(const WayLoopSum* sum, WayKey key) {
  return (WayLoopScales){
      .pentatonic = way_loop_choose(sum, WAY_MATERIAL_PENTATONIC, key).best.scale,
      .blues = way_loop_choose(sum, WAY_MATERIAL_BLUES, key).best.scale,
      .parent = way_loop_choose(sum, WAY_MATERIAL_PARENT, key).best.scale,
  };
}
