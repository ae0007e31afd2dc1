#include "theory/function.h"

#include "theory/applied.h"

const char* way_function_name(WayFunction f) {
  static const char* const names[] = {"none", "tonic", "predominant", "dominant"};
  return (unsigned)f < WAY_COUNT(names) ? names[f] : "";
}

WayFunction way_function(const WayChord* chord, const WayChord* next, WayKey key) {
  // By semitones above the tonic: chords with a major third or none, with a minor one.
  static const uint8_t by_root[2][12] = {
#define N WAY_FUNCTION_NONE
#define T WAY_FUNCTION_TONIC
#define P WAY_FUNCTION_PREDOMINANT
#define D WAY_FUNCTION_DOMINANT
      {T, P, P, T, N, P, P, D, P, N, P, N},
      {T, N, P, N, T, P, P, D, N, T, N, D},
#undef N
#undef T
#undef P
#undef D
  };
  if (way_chord_is_none(chord)) return WAY_FUNCTION_NONE;
  const WayPc root =
      way_pc(way_spelling_pc(chord->root) - way_spelling_pc(key.tonic) + 12);
  const WayAppliedKind applied = way_applied(chord, next, key).kind;
  if (applied == WAY_APPLIED_PREDOMINANT) return WAY_FUNCTION_PREDOMINANT;
  if (applied) return WAY_FUNCTION_DOMINANT;
  const bool diminished = way_chord_has(chord, 3, -1) && way_chord_has(chord, 5, -1);
  // The tonic over its fifth, going to the dominant, is the cadential six-four.
  const WaySpelling fifth = way_spelling_above(key.tonic, (WayDegree){5, 0});
  if (root == 0 && way_spelling_equal(chord->bass, fifth) && next &&
      !way_chord_is_none(next) && way_spelling_pc(next->root) == way_spelling_pc(fifth))
    return WAY_FUNCTION_DOMINANT;
  // Any inversion of the leading-tone seventh is the same four notes.
  if (diminished &&
      way_pcs_has(way_chord_pcs(chord), way_pc(way_spelling_pc(key.tonic) + 11)))
    return WAY_FUNCTION_DOMINANT;
  if (root == 10 && way_chord_has(chord, 3, 0) && way_chord_has(chord, 7, -1))
    return WAY_FUNCTION_DOMINANT;
  if (diminished && root == 9) return WAY_FUNCTION_PREDOMINANT;
  return (WayFunction)by_root[way_chord_has(chord, 3, -1)][root];
}
