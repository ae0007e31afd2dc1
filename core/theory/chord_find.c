#include "theory/chord_find.h"

#include "theory/tone_words.h"

/// A name that costs more than this is not a common one.
enum { COST_MOST = 11 };
/// What a root in the bass is worth when names are compared.
enum { ROOT_IN_BASS = 4 };
/// What a bass beside the chord costs.
enum { FOREIGN_BASS = 3 };
/// What a fifth that is only implied costs.
enum { NO_FIFTH = 3 };
/// In the tables of costs: not a common chord.
enum { NEVER = 100 };

/// What a chord is before its tensions are counted.
typedef enum {
  BODY_MAJOR,
  BODY_MINOR,
  BODY_DIM,
  BODY_AUG,
  BODY_FLAT_FIVE,
  BODY_SIX,
  BODY_MINOR_SIX,
  BODY_DOMINANT,
  BODY_MAJOR_SEVENTH,
  BODY_MINOR_SEVENTH,
  BODY_MINOR_MAJOR,
  BODY_HALF_DIM,
  BODY_DIM_SEVENTH,
  BODY_SUS,
  BODY_SUS_SEVENTH,
  BODY_OTHER,
} Body;

/// How far from plain each kind of chord is, and what each tension adds to that: 2 for
/// a seventh or a usual tension, more for a rare one.  Found by trying: with these,
/// each kind of chord is among the names of its own inversions (see the tests).
static const struct {
  uint8_t cost;
  uint8_t b9, n9, s9, n11, s11, b13, n13;
} costs[] = {
    //                       cost b9 9 #9 11 #11 b13 13
    [BODY_MAJOR] = {0, 6, 3, 6, 3, 5, 11, NEVER},
    [BODY_MINOR] = {0, 9, 3, NEVER, 3, 7, 8, NEVER},
    [BODY_DIM] = {2, 8, 5, NEVER, 6, NEVER, 6, NEVER},
    [BODY_AUG] = {2, 8, 6, 9, 8, 6, NEVER, NEVER},
    [BODY_FLAT_FIVE] = {5, 8, 5, 8, 8, NEVER, 8, NEVER},
    [BODY_SIX] = {2, 6, 2, 6, 6, 3, 8, NEVER},
    [BODY_MINOR_SIX] = {2, 8, 2, NEVER, 6, 6, 8, NEVER},
    [BODY_DOMINANT] = {2, 2, 2, 2, 3, 2, 2, 2},
    [BODY_MAJOR_SEVENTH] = {2, 6, 2, 5, 5, 2, 6, 2},
    [BODY_MINOR_SEVENTH] = {2, 7, 2, NEVER, 2, 6, 6, 2},
    [BODY_MINOR_MAJOR] = {3, 8, 2, NEVER, 3, 6, 5, 6},
    [BODY_HALF_DIM] = {2, 4, 4, NEVER, 2, NEVER, 6, 6},
    [BODY_DIM_SEVENTH] = {2, 7, 7, NEVER, 7, NEVER, 7, NEVER},
    [BODY_SUS] = {2, 10, 5, NEVER, NEVER, 9, 9, NEVER},
    [BODY_SUS_SEVENTH] = {3, 1, 1, NEVER, NEVER, 8, 6, 2},
    [BODY_OTHER] = {10, 4, 4, 4, 4, 4, 4, 4},
};

/// One way to hear some notes over a root.
typedef struct {
  WayTones heard;
  WayTones implied; ///< With `heard`, the chord that is meant
  int cost;
} Reading;

/// Notes above a root, and what is known about them so far.
typedef struct {
  WayPcSet set; ///< Semitones above the root
  WayTones tones;
  WayTones seventh;
  bool major, minor, sus; ///< Which third there is, or what stands in for it
  bool natural_fifth, flat_fifth, sharp_fifth;
} Hearing;

static bool has(const Hearing* h, unsigned semitones) {
  return way_pcs_has(h->set, (WayPc)semitones);
}

static void hear_third(Hearing* h) {
  h->major = has(h, 4);
  h->minor = !h->major && has(h, 3);
  if (h->major)
    h->tones |= NATURAL(3);
  else if (h->minor)
    h->tones |= FLAT(3);
  else if (has(h, 5))
    h->tones |= NATURAL(4);
  else if (has(h, 2))
    h->tones |= NATURAL(2);
  h->sus = !h->major && !h->minor && (has(h, 5) || has(h, 2));
}

/// Hear the fifth.  With `open`, a tritone or minor sixth is a tension and the fifth is
/// left to the imagination.
static void hear_fifth(Hearing* h, bool open) {
  h->natural_fifth = has(h, 7);
  if (!h->natural_fifth && !open) {
    h->sharp_fifth = has(h, 8) && !(h->minor && has(h, 6));
    h->flat_fifth = has(h, 6) && !h->sharp_fifth;
  }
  if (h->natural_fifth) h->tones |= NATURAL(5);
  if (h->flat_fifth) h->tones |= FLAT(5);
  if (h->sharp_fifth) h->tones |= SHARP(5);
}

static void hear_seventh(Hearing* h) {
  if (h->minor && h->flat_fifth && has(h, 9) && !has(h, 10))
    h->seventh = DOUBLE_FLAT(7);
  else if (has(h, 10))
    h->seventh = FLAT(7);
  else if (has(h, 11))
    h->seventh = NATURAL(7);
  else if (has(h, 9))
    h->tones |= NATURAL(6);
  h->tones |= h->seventh;
}

static Body body_with_seventh(const Hearing* h) {
  if (h->sus) return h->seventh == FLAT(7) && has(h, 5) ? BODY_SUS_SEVENTH : BODY_OTHER;
  if (h->major) return h->seventh == FLAT(7) ? BODY_DOMINANT : BODY_MAJOR_SEVENTH;
  if (!h->minor) return BODY_OTHER;
  if (h->seventh == DOUBLE_FLAT(7)) return BODY_DIM_SEVENTH;
  if (h->seventh == NATURAL(7)) return BODY_MINOR_MAJOR;
  return h->flat_fifth ? BODY_HALF_DIM : BODY_MINOR_SEVENTH;
}

static Body body_of(const Hearing* h) {
  if (h->seventh) return body_with_seventh(h);
  const bool sixth = (h->tones & NATURAL(6)) != 0;
  if (h->sus) return sixth ? BODY_OTHER : BODY_SUS;
  if (h->major && h->sharp_fifth) return sixth ? BODY_OTHER : BODY_AUG;
  if (h->major && h->flat_fifth) return sixth ? BODY_OTHER : BODY_FLAT_FIVE;
  if (h->major) return sixth ? BODY_SIX : BODY_MAJOR;
  if (!h->minor || h->sharp_fifth) return BODY_OTHER;
  if (h->flat_fifth) return sixth ? BODY_OTHER : BODY_DIM;
  return sixth ? BODY_MINOR_SIX : BODY_MINOR;
}

/// What an altered or missing fifth costs in a chord of some body.
static int cost_of_fifth(const Hearing* h, Body body) {
  if (h->natural_fifth) return 0;
  if (h->flat_fifth || h->sharp_fifth) {
    switch (body) {
    case BODY_DOMINANT: return 2;
    case BODY_MINOR_MAJOR: return 3;
    case BODY_MAJOR_SEVENTH: return h->flat_fifth ? 5 : 3;
    case BODY_MINOR_SEVENTH: return 5;
    case BODY_SUS:
    case BODY_SUS_SEVENTH: return 9;
    default: return 0; // counted in the body already
    }
  }
  switch (body) {
  case BODY_SIX:
  case BODY_MINOR_SIX: return has(h, 2) ? 2 : 9;
  case BODY_SUS_SEVENTH: return way_pcs_count(h->set) > 3 ? NO_FIFTH : 9;
  case BODY_MAJOR:
  case BODY_MINOR: return 5;
  case BODY_SUS: return NEVER;
  default: return NO_FIFTH;
  }
}

/// Hear the rest as tensions; returns what they cost.
static int hear_tensions(Hearing* h, Body body) {
  int cost = 0;
  const struct {
    bool there;
    WayTones tone;
    uint8_t cost;
  } tensions[] = {
      {has(h, 1), FLAT(9), costs[body].b9},
      {has(h, 2) && !(h->tones & NATURAL(2)), NATURAL(9), costs[body].n9},
      {has(h, 3) && h->major, SHARP(9), costs[body].s9},
      {has(h, 5) && !(h->tones & NATURAL(4)), NATURAL(11), costs[body].n11},
      {has(h, 6) && !h->flat_fifth, SHARP(11), costs[body].s11},
      {has(h, 8) && !h->sharp_fifth, FLAT(13), costs[body].b13},
      {has(h, 9) && (h->seventh & (FLAT(7) | NATURAL(7))), NATURAL(13),
       costs[body].n13},
  };
  for (unsigned i = 0; i < WAY_COUNT(tensions); ++i)
    if (tensions[i].there) {
      h->tones |= tensions[i].tone;
      cost += tensions[i].cost;
    }
  if ((h->tones & NATURAL(13)) && !(h->tones & ANY(9))) ++cost;
  if (has(h, 11) && h->seventh != NATURAL(7)) { // a second seventh
    h->tones |= NATURAL(7);
    cost += h->seventh == DOUBLE_FLAT(7) ? 8 : NEVER;
  }
  return cost;
}

/// Two or three notes without a third: the fifth alone, or with a seventh.
static int cost_without_third(const Hearing* h) {
  switch (h->set) {
  case 1u << 0 | 1u << 7: return 1;
  case 1u << 0 | 1u << 7 | 1u << 10: return 7;
  case 1u << 0 | 1u << 7 | 1u << 11: return 8;
  default: return NEVER;
  }
}

/// Hear `set` (semitones above a root, the root included).
static Reading hear(WayPcSet set, bool open) {
  Hearing h = {.set = set, .tones = NATURAL(1)};
  hear_third(&h);
  hear_fifth(&h, open);
  hear_seventh(&h);
  const Body body = body_of(&h);
  Reading r = {0, 0, costs[body].cost + cost_of_fifth(&h, body)};
  r.cost += hear_tensions(&h, body);
  if (!h.major && !h.minor && !h.sus) r.cost = cost_without_third(&h);
  r.heard = way_tones_normal(h.tones);
  const bool fifth = h.natural_fifth || h.flat_fifth || h.sharp_fifth;
  // Under other tones a fifth is understood; two notes stay two notes.
  const bool third = h.major || h.minor || h.sus;
  const bool understood = third && !fifth && way_pcs_count(set) > 2;
  r.implied = understood ? r.heard | NATURAL(5) : r.heard;
  return r;
}

/// A name under consideration.
typedef struct {
  Reading reading;
  WayPc root;
  uint32_t order; ///< Lower is better; the highest byte holds cost less bonus
} Candidate;

/// The names found so far, the best of them first.
typedef struct {
  Candidate list[WAY_FOUND_MAX];
  unsigned n;
} Candidates;

static void keep(Candidates* all, Candidate c) {
  unsigned at = all->n < WAY_FOUND_MAX ? all->n++ : WAY_FOUND_MAX;
  if (at == WAY_FOUND_MAX && all->list[--at].order <= c.order) return;
  for (; at && all->list[at - 1].order > c.order; --at)
    all->list[at] = all->list[at - 1];
  all->list[at] = c;
}

/// What is asked, in one place.
typedef struct {
  WayPcSet notes;
  WayPc bass;
  WayPcSet key; ///< Pitch classes of the key; all twelve if there is none
  int previous; ///< Root of the chord before, or -1
  bool rootless;
} Question;

/// Where a candidate stands: cost and bass, then key, chord before, then how plain it
/// is.
static uint32_t order_of(const Question* q, const Reading* r, WayPc root) {
  const bool rooted = root == q->bass && !q->rootless;
  const uint32_t total =
      (uint32_t)(r->cost + ROOT_IN_BASS - (rooted ? ROOT_IN_BASS : 0));
  uint32_t outside = 0;
  if (q->key != WAY_PCS_ALL) {
    const WayChord c = way_tones_chord(r->implied, (WaySpelling){0, 0});
    const WayPcSet tones = way_pcs_move(way_chord_pcs(&c), root);
    outside = way_pcs_count(tones & (WayPcSet)~q->key);
  }
  uint32_t motion = 0;
  if (q->previous >= 0) { // staying, falling a fifth, then by step
    static const uint8_t far[12] = {0, 2, 2, 3, 3, 1, 4, 3, 3, 3, 2, 2};
    motion = far[way_pc(root - q->previous)];
  }
  const uint32_t altered = way_tones_count(
      r->implied & (SHARP(5) | FLAT(9) | SHARP(9) | SHARP(11) | FLAT(13)));
  const bool sixth = r->implied & NATURAL(6), second = r->implied & NATURAL(2);
  const uint32_t unusual = sixth || second || r->implied != r->heard;
  return total << 24 | (uint32_t)r->cost << 16 | outside << 12 | motion << 8 |
         altered << 5 | unusual << 4 | way_tones_count(r->implied);
}

static void consider(const Question* q, Candidates* all, Reading r, WayPc root) {
  if (r.cost > COST_MOST) return;
  keep(all, (Candidate){r, root, order_of(q, &r, root)});
}

/// Whether an eleventh or thirteenth over a seventh is heard that stands for the figure
/// 11 or 13, its ninth left out: C Bb E A is C13, C Bb Eb F is Cm11.
static bool stacks_a_ninth(WayTones heard) {
  const bool dominant = (heard & FLAT(7)) && (heard & (NATURAL(3) | NATURAL(4)));
  const bool minor = (heard & FLAT(7)) && (heard & FLAT(3));
  const WayTones top =
      (minor || dominant ? NATURAL(11) : 0) | (dominant ? NATURAL(13) : 0);
  return (heard & top) && !(heard & ANY(9));
}

/// All readings of the notes over one root.
static void consider_root(const Question* q, Candidates* all, WayPc root) {
  const WayPcSet above = way_pcs_move(q->notes, 12u - root) | 1u;
  Reading r = hear(above, false);
  const bool has_seventh = (r.heard & ANY(7)) != 0;
  if (q->rootless) {
    // Without its root a chord is known by its third and seventh; the fifth is no loss.
    if (!has_seventh || !(r.heard & ANY(3))) return;
    if (r.implied != r.heard) r.cost -= NO_FIFTH;
  }
  consider(q, all, r, root);
  if (r.implied != r.heard && stacks_a_ninth(r.heard)) {
    Reading stacked = r;
    stacked.implied |= NATURAL(9);
    consider(q, all, stacked, root);
  }
  const bool altered = !(r.heard & NATURAL(5)) && (r.heard & (FLAT(5) | SHARP(5)));
  if (altered && has_seventh && (r.heard & NATURAL(3))) {
    const int cost = r.cost;
    r = hear(above, true);
    r.cost = cost; // the same notes with a fifth left out are as good a name
    consider(q, all, r, root);
  }
}

/// A complete triad or seventh chord over a bass of its own.
static void consider_foreign_bass(const Question* q, Candidates* all) {
  const WayPcSet upper = q->notes & (WayPcSet)~WAY_PC_BIT(q->bass);
  const unsigned n = way_pcs_count(upper);
  if (n < 3 || n > 4) return;
  for (WayPc root = 0; root < 12; ++root) {
    if (!way_pcs_has(upper, root)) continue;
    Reading r = hear(way_pcs_move(upper, 12u - root), false);
    if (r.cost > 2 || r.implied != r.heard || !(r.heard & ANY(3))) continue;
    r.cost += FOREIGN_BASS;
    consider(q, all, r, root);
  }
}

/// How many accidentals a chord has on a root.
static int accidentals(WayTones tones, WaySpelling root) {
  const WayChord c = way_tones_chord(tones, root);
  int n = 0;
  for (unsigned i = 0; i < c.n_tones; ++i) {
    const int alter = way_spelling_above(root, c.tones[i]).alter;
    n += alter < 0 ? -alter : alter;
  }
  return n;
}

/// The spelling of a root, Gb to G# on the line of fifths, that gives its chord the
/// fewest accidentals; F# before Gb, else the flat one of two that are equal.
static WaySpelling spell_root(WayTones tones, WayPc pc) {
  const int sharp = 7 * pc % 12;
  const WaySpelling up = way_spelling_at_fifths(sharp);
  const WaySpelling down = way_spelling_at_fifths(sharp - 12);
  if (sharp < 6) return up;
  if (sharp > 8) return down;
  const int more = accidentals(tones, up) - accidentals(tones, down);
  return more < 0 || (!more && pc == 6) ? up : down;
}

/// A pitch class as it was written, or as the key writes it.
static bool spelled_by_hint(const WayFindHints* hints, WayPc pc, WaySpelling* out) {
  if (hints && hints->written && hints->written[pc].letter >= 0)
    *out = hints->written[pc];
  else if (hints && hints->key)
    *out = way_key_spell(*hints->key, pc);
  else
    return false;
  return true;
}

static WaySpelling spell_bass(const WayChord* c, const WayFindHints* hints,
                              WayPc bass) {
  const WayDegree* const tone = way_chord_tone_at(c, bass);
  WaySpelling s;
  if (tone) {
    s = way_spelling_above(c->root, *tone);
    const bool easy = s.alter >= -1 && s.alter <= 1;
    return easy ? s : way_spelling_simple(s);
  }
  if (!spelled_by_hint(hints, bass, &s)) s = spell_root(NATURAL(1), bass);
  return s;
}

static WayFound found(const Candidate* candidate, const Question* q,
                      const WayFindHints* hints) {
  WaySpelling root;
  if (!spelled_by_hint(hints, candidate->root, &root))
    root = spell_root(candidate->reading.implied, candidate->root);
  WayFound f = {way_tones_chord(candidate->reading.implied, root),
                candidate->reading.heard, q->rootless};
  if (q->rootless)
    f.heard &= ~NATURAL(1); // and the bass player has it
  else
    f.chord.bass = spell_bass(&f.chord, hints, q->bass);
  return f;
}

unsigned way_chord_find(WayPcSet notes, WayPc bass, const WayFindHints* hints,
                        WayFound out[WAY_FOUND_MAX]) {
  const bool key = hints && hints->key;
  const bool previous = hints && hints->previous && !way_chord_is_none(hints->previous);
  const Question q = {notes, bass, key ? way_key_set(*hints->key) : WAY_PCS_ALL,
                      previous ? way_spelling_pc(hints->previous->root) : -1,
                      hints && hints->rootless};
  Candidates all = {.n = 0};
  if (way_pcs_count(notes) < 2) return 0;
  for (WayPc root = 0; root < 12; ++root)
    if (way_pcs_has(notes, root) != q.rootless) consider_root(&q, &all, root);
  if (!q.rootless) consider_foreign_bass(&q, &all);
  unsigned n = 0;
  for (unsigned i = 0; i < all.n; ++i)
    if (all.list[i].reading.cost <= all.list[0].reading.cost ||
        all.list[i].order >> 24 == all.list[0].order >> 24)
      out[n++] = found(&all.list[i], &q, hints);
  return n;
}
