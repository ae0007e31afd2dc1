#include "theory/chord_kind.h"

/// A row matches a chord with all of `with` and none of `without`, both as semitones
/// above the root.
typedef struct {
  WayPcSet with;
  WayPcSet without;
  WayChordKind kind;
} Rule;

#define S(semitones) WAY_PC_BIT(semitones)

static const Rule rules[] = {
    // the first that matches decides
    {S(4) | S(10), 0, WAY_CHORD_KIND_DOMINANT},
    {S(4) | S(11), 0, WAY_CHORD_KIND_MAJOR_SEVENTH},
    {S(3) | S(6) | S(10), S(7), WAY_CHORD_KIND_HALF_DIMINISHED},
    {S(3) | S(6), S(7) | S(11), WAY_CHORD_KIND_DIMINISHED},
    {S(3) | S(10), 0, WAY_CHORD_KIND_MINOR_SEVENTH},
    {S(3) | S(11), 0, WAY_CHORD_KIND_MINOR_SEVENTH},
    {S(4) | S(8), S(7), WAY_CHORD_KIND_AUGMENTED},
    {S(4), 0, WAY_CHORD_KIND_MAJOR},
    {S(3), 0, WAY_CHORD_KIND_MINOR},
    {S(5), 0, WAY_CHORD_KIND_SUSPENDED},
    {S(2), 0, WAY_CHORD_KIND_SUSPENDED},
};

WayChordKind way_chord_kind(const WayChord* c) {
  WayPcSet tones = 0;
  for (unsigned i = 0; i < c->n_basic; ++i)
    tones |= WAY_PC_BIT(way_degree_pc(c->tones[i]));
  for (unsigned i = 0; i < WAY_COUNT(rules); ++i)
    if ((tones & rules[i].with) == rules[i].with && !(tones & rules[i].without))
      return rules[i].kind;
  return WAY_CHORD_KIND_OTHER;
}

const char* way_chord_kind_name(WayChordKind kind) {
  switch (kind) {
  case WAY_CHORD_KIND_MAJOR: return "major";
  case WAY_CHORD_KIND_MINOR: return "minor";
  case WAY_CHORD_KIND_DOMINANT: return "dominant";
  case WAY_CHORD_KIND_MAJOR_SEVENTH: return "major seventh";
  case WAY_CHORD_KIND_MINOR_SEVENTH: return "minor seventh";
  case WAY_CHORD_KIND_HALF_DIMINISHED: return "half-diminished";
  case WAY_CHORD_KIND_DIMINISHED: return "diminished";
  case WAY_CHORD_KIND_AUGMENTED: return "augmented";
  case WAY_CHORD_KIND_SUSPENDED: return "suspended";
  case WAY_CHORD_KIND_OTHER:
  case WAY_CHORD_KIND_COUNT: break;
  }
  return "other";
}
