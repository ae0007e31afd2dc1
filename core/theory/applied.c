#include "theory/applied.h"

#include "theory/key_degree.h"

/// A degree that chords may be applied to: the root of one of the key's own triads.
typedef struct {
  WayDegree degree;
  bool minor;
} Target;

#define TARGETS 5u

/// The degrees of a key that have a major or minor triad, the tonic aside: in major, in
/// minor.
static const Target targets[2][TARGETS] = {
    {{{2, 0}, true}, {{3, 0}, true}, {{4, 0}, false}, {{5, 0}, false}, {{6, 0}, true}},
    {{{3, -1}, false},
     {{4, 0}, true},
     {{5, 0}, false},
     {{6, -1}, false},
     {{7, -1}, false}},
};

/// How far above the target a chord that leads there has its root, in semitones.
enum { LEAD_FIFTH = 7, LEAD_TONE_ABOVE = 2, LEAD_HALF_ABOVE = 1, LEAD_HALF_BELOW = 11 };

static const WayApplied not_applied = {WAY_APPLIED_NOT, {1, 0}, false};

static WayApplied applied(WayAppliedKind kind, const Target* to) {
  return (WayApplied){kind, to->degree, to->minor};
}

static bool is_dominant_seventh(const WayChord* c) {
  return way_chord_has(c, 3, 0) && way_chord_has(c, 7, -1);
}

/// Whether all tones of the chord belong to the key; in minor also with the raised
/// seventh in place of the lowered one.
static bool in_key(const WayChord* c, WayKey key) {
  const WayPcSet pcs = way_chord_pcs(c);
  const WayPcSet set = way_key_set(key);
  if (!(pcs & ~set)) return true;
  if (key.mode != WAY_MODE_MINOR) return false;
  const WayPc tonic = way_spelling_pc(key.tonic);
  const WayPcSet lowered = WAY_PC_BIT(way_pc(tonic + 10));
  const WayPcSet raised = WAY_PC_BIT(way_pc(tonic + 11));
  return !(pcs & ~((set & ~lowered) | raised));
}

static bool leads_to(const WayChord* chord, WayKey key, WayDegree target, int above) {
  const WayPc to = way_spelling_pc(way_spelling_above(key.tonic, target));
  return way_spelling_pc(chord->root) == way_pc(to + above);
}

static bool goes_to(const WayChord* next, WayKey key, WayDegree target) {
  return next && !way_chord_is_none(next) && leads_to(next, key, target, 0);
}

/// Dominants that belong to the key in common use, and so keep their plain name unless
/// they resolve: I7, IV7 and bVII7 (blues, backdoor), in minor IV7 and VII7 too.
static bool is_house_dominant(const WayChord* chord, WayKey key) {
  static const WayDegree house[] = {{1, 0}, {4, 0}, {7, -1}};
  for (size_t i = 0; i < WAY_COUNT(house); ++i)
    if (leads_to(chord, key, house[i], 0)) return true;
  return false;
}

/// The blues: a tonic seventh that goes to the seventh on IV stays at home.
static bool is_blues_step(const WayChord* chord, const WayChord* next, WayKey key) {
  return next && is_dominant_seventh(next) && is_dominant_seventh(chord) &&
         leads_to(chord, key, (WayDegree){1, 0}, 0) &&
         goes_to(next, key, (WayDegree){4, 0});
}

static WayApplied dominant(const WayChord* chord, const WayChord* next, WayKey key,
                           const Target* to) {
  const bool seventh = is_dominant_seventh(chord), own = in_key(chord, key);
  const bool house = is_house_dominant(chord, key);
  if (is_blues_step(chord, next, key)) return not_applied;
  for (unsigned i = 0; i < TARGETS; ++i) {
    if (!leads_to(chord, key, to[i].degree, LEAD_FIFTH)) continue;
    if (goes_to(next, key, to[i].degree) ? seventh || !own
                                         : !house && !own && (seventh || !next))
      return applied(WAY_APPLIED_DOMINANT, &to[i]);
  }
  return not_applied;
}

static WayApplied substitute(const WayChord* chord, const WayChord* next, WayKey key,
                             const Target* to) {
  if (!is_dominant_seventh(chord)) return not_applied;
  const Target home = {{1, 0}, way_key_degree_lowered(key.mode, 3) < 0};
  if (leads_to(chord, key, home.degree, LEAD_HALF_ABOVE))
    return applied(WAY_APPLIED_SUBSTITUTE, &home);
  for (unsigned i = 0; i < TARGETS; ++i)
    if (leads_to(chord, key, to[i].degree, LEAD_HALF_ABOVE) &&
        goes_to(next, key, to[i].degree))
      return applied(WAY_APPLIED_SUBSTITUTE, &to[i]);
  return not_applied;
}

static WayApplied leading(const WayChord* chord, const WayChord* next, WayKey key,
                          const Target* to) {
  for (unsigned i = 0; i < TARGETS; ++i)
    if (leads_to(chord, key, to[i].degree, LEAD_HALF_BELOW) &&
        (!next || goes_to(next, key, to[i].degree)) && !in_key(chord, key))
      return applied(WAY_APPLIED_LEADING, &to[i]);
  return not_applied;
}

/// The second degree of a target whose dominant follows: the minor seventh from outside
/// the key, or a half-diminished one.
static WayApplied predominant(const WayChord* chord, const WayChord* next, WayKey key,
                              const Target* to) {
  const bool half = way_chord_has(chord, 5, -1);
  if (!next || !is_dominant_seventh(next) || !way_chord_has(chord, 7, -1) ||
      (in_key(chord, key) && !half))
    return not_applied;
  for (unsigned i = 0; i < TARGETS; ++i)
    if (leads_to(chord, key, to[i].degree, LEAD_TONE_ABOVE) &&
        leads_to(next, key, to[i].degree, LEAD_FIFTH))
      return applied(WAY_APPLIED_PREDOMINANT, &to[i]);
  return not_applied;
}

WayApplied way_applied(const WayChord* chord, const WayChord* next, WayKey key) {
  const Target* const to = targets[way_key_degree_lowered(key.mode, 3) < 0];
  WayApplied a = not_applied;
  if (way_chord_has(chord, 3, -1)) {
    a = predominant(chord, next, key, to);
    if (!a.kind && way_chord_has(chord, 5, -1)) a = leading(chord, next, key, to);
  } else if (way_chord_has(chord, 3, 0) && !way_chord_has(chord, 7, 0) &&
             !way_chord_tone_numbered(chord, 6)) {
    a = dominant(chord, next, key, to);
    if (!a.kind) a = substitute(chord, next, key, to);
  }
  return a;
}
