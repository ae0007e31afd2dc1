#include "theory/material.h"

static const char* const material_names[WAY_MATERIAL_COUNT] = {
    [WAY_MATERIAL_TRIAD] = "triad",
    [WAY_MATERIAL_SEVENTH] = "seventh",
    [WAY_MATERIAL_PENTATONIC] = "pentatonic",
    [WAY_MATERIAL_BLUES] = "blues",
    [WAY_MATERIAL_PARENT] = "parent",
    [WAY_MATERIAL_CHORD_SCALE] = "chord-scale",
    [WAY_MATERIAL_ALL] = "all",
};

const char* way_material_name(WayMaterial m) {
  return (unsigned)m < WAY_MATERIAL_COUNT ? material_names[m] : "";
}

static WayScale named_scale(WaySpelling tonic, const char* name) {
  return way_scale_on(tonic, way_scale_find(way_text(name)));
}

WayLoopScales way_material_of_key(WayKey key) {
  const bool minor = way_key_is_minor(key);
  return (WayLoopScales){
      .pentatonic =
          named_scale(key.tonic, minor ? "minor pentatonic" : "major pentatonic"),
      .blues = named_scale(key.tonic, minor ? "minor blues" : "major blues"),
      .parent = named_scale(key.tonic, way_mode_name(key.mode)),
  };
}

#define S(semitones) WAY_PC_BIT(semitones)

WayLoopPcs way_material_pcs_of_key(WayKey key) {
  static const WayPcSet major = S(0) | S(2) | S(4) | S(7) | S(9);
  static const WayPcSet minor = S(0) | S(3) | S(5) | S(7) | S(10);
  const bool is_minor = way_key_is_minor(key);
  const WayPcSet pentatonic = is_minor ? minor : major;
  const WayPcSet blue = is_minor ? S(6) : S(3);
  const WayPc tonic = way_spelling_pc(key.tonic);
  return (WayLoopPcs){
      .pentatonic = way_pcs_move(pentatonic, tonic),
      .blues = way_pcs_move(pentatonic | blue, tonic),
      .parent = way_key_set(key),
  };
}

WayLoopPcs way_material_pcs(const WayLoopScales* loop) {
  return (WayLoopPcs){way_scale_pcs(&loop->pentatonic), way_scale_pcs(&loop->blues),
                      way_scale_pcs(&loop->parent)};
}

// What a chord makes of a key's scale, both as pitch classes.
typedef struct {
  WayPcSet chord; // never removed
  WayPcSet scale;
} Change;

// Put the foreign chord tone `tone` into the scale, in place of the neighbour it
// alters: the one with its letter, unless that one belongs to the chord.
static void alter_one(Change* c, WaySpelling tone, WayKey key) {
  const WayPc pc = way_spelling_pc(tone);
  const WayPc below = way_pc(pc - 1);
  const WayPc above = way_pc(pc + 1);
  const bool raises = way_key_spell(key, below).letter == tone.letter;
  const WayPc choice[2] = {raises ? below : above, raises ? above : below};
  c->scale |= WAY_PC_BIT(pc);
  for (int i = 0; i < 2; ++i) {
    if (!way_pcs_has(way_key_set(key), choice[i])) continue;
    if (way_pcs_has(c->chord, choice[i])) continue;
    c->scale &= (WayPcSet)~WAY_PC_BIT(choice[i]);
    return;
  }
}

// Altered fifths on both sides leave no room for a natural one.
static void drop_natural_fifth(Change* c, WayPc root) {
  const WayPc fifth = way_pc(root + 7);
  if (!way_pcs_has(c->chord, fifth) && way_pcs_has(c->chord, way_pc(root + 6)) &&
      way_pcs_has(c->chord, way_pc(root + 8)))
    c->scale &= (WayPcSet)~WAY_PC_BIT(fifth);
}

// Over a minor seventh there is no major one.  Where it is still there, a foreign root
// has replaced the note above it: let it replace the one below instead.
static void drop_major_seventh(Change* c, WayPc root, WayPcSet own) {
  const WayPc major = way_pc(root + 11);
  if (way_pcs_has(own, root) || way_pcs_has(c->chord, major) ||
      !way_pcs_has(c->chord, way_pc(root + 10)) || !way_pcs_has(c->scale, major))
    return;
  c->scale &= (WayPcSet)~WAY_PC_BIT(major);
  c->scale |= own & WAY_PC_BIT(way_pc(root + 1));
}

static WayPcSet changed_scale(const WayChord* chord, WayKey key) {
  const WayPcSet own = way_key_set(key);
  const WayPc root = way_spelling_pc(chord->root);
  const WayPc bass = way_spelling_pc(chord->bass);
  Change c = {way_chord_pcs(chord) | WAY_PC_BIT(bass), own};
  for (unsigned i = 0; i < chord->n_tones; ++i) {
    const WaySpelling tone = way_spelling_above(chord->root, chord->tones[i]);
    if (!way_pcs_has(own, way_spelling_pc(tone))) alter_one(&c, tone, key);
  }
  if (!way_pcs_has(c.scale, bass)) alter_one(&c, chord->bass, key);
  drop_natural_fifth(&c, root);
  drop_major_seventh(&c, root, own);
  return c.scale;
}

// Chord tones are written as the chord writes them, other notes as the key does.
static WayScale written_scale(const WayChord* chord, WayKey key, WayPcSet pcs) {
  WayScale s = {.tonic = way_chord_is_none(chord) ? key.tonic : chord->root};
  const WayPc root = way_spelling_pc(s.tonic);
  for (int i = 0; i < 12; ++i) {
    const WayPc pc = way_pc(root + i);
    if (!way_pcs_has(pcs, pc)) continue;
    const WayDegree* const tone = way_chord_tone_at(chord, pc);
    WayDegree d = tone ? *tone : way_scale_degree(s.tonic, way_key_spell(key, pc));
    if (d.number > 7) d.number = (int8_t)(d.number - 7);
    s.degrees[s.n++] = d;
  }
  s.type = way_scale_of_set(way_pcs_move(pcs, (12u - root) % 12u));
  return s;
}

WayPcSet way_material_chord_scale_pcs(const WayChord* chord, WayKey key) {
  return way_chord_is_none(chord) ? way_key_set(key) : changed_scale(chord, key);
}

WayScale way_material_chord_scale(const WayChord* chord, WayKey key) {
  return written_scale(chord, key, way_material_chord_scale_pcs(chord, key));
}

// The chord's tones up to the fifth, with the 2 or 4 that stands in for a third.
static WayPcSet triad_pcs(const WayChord* chord) {
  WayPcSet set = 0;
  const int root = way_spelling_pc(chord->root);
  for (unsigned i = 0; i < chord->n_basic; ++i)
    if (chord->tones[i].number <= 5)
      set |= WAY_PC_BIT(way_pc(root + way_degree_pc(chord->tones[i])));
  return set;
}

void way_material_sets(const WayChord* chord, const WayLoopPcs* loop,
                       WayPcSet chord_scale, WayPcSet out[WAY_MATERIAL_COUNT]) {
  const bool none = way_chord_is_none(chord);
  out[WAY_MATERIAL_TRIAD] = none ? chord_scale : triad_pcs(chord);
  out[WAY_MATERIAL_SEVENTH] = none ? chord_scale : way_chord_basic_pcs(chord);
  out[WAY_MATERIAL_PENTATONIC] = loop->pentatonic;
  out[WAY_MATERIAL_BLUES] = loop->blues;
  out[WAY_MATERIAL_PARENT] = loop->parent;
  out[WAY_MATERIAL_CHORD_SCALE] = chord_scale;
  out[WAY_MATERIAL_ALL] = WAY_PCS_ALL;
}
