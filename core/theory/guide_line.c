#include "theory/guide_line.h"

#include <string.h>

/// Cost of a semitone of movement, and of a tone that is not first choice.
enum { COST_SEMITONE = 2, COST_SECOND_CHOICE = 3 };

/// A cost that no line reaches.
#define NEVER 0xFFFFFFFFu

typedef struct {
  const WayLineChord* chords;
  size_t n;
  uint8_t low;
  unsigned span; ///< Pitches in the range
} Form;

/// What each pitch class costs as the tone of one chord: #NEVER for most.
typedef struct {
  uint32_t of[12];
  bool silent;
} Choices;

static WayPc tone_pc(const WayChord* c, const WayDegree* tone) {
  return way_pc(way_spelling_pc(c->root) + way_degree_pc(*tone));
}

/// The third, or what stands in for it; NULL in a power chord.
static const WayDegree* third_of(const WayChord* c) {
  static const int8_t numbers[] = {3, 4, 2};
  for (size_t i = 0; i < WAY_COUNT(numbers); ++i) {
    const WayDegree* const tone = way_chord_tone_numbered(c, numbers[i]);
    if (tone) return tone;
  }
  return NULL;
}

static const WayDegree* seventh_of(const WayChord* c) {
  const WayDegree* const tone = way_chord_tone_numbered(c, 7);
  return tone ? tone : way_chord_tone_numbered(c, 6);
}

static Choices choices_at(const Form* f, size_t i, const WayChord* before) {
  Choices out = {.silent = way_chord_is_none(&f->chords[i].chord)};
  const WayChord* const c = &f->chords[i].chord;
  for (int pc = 0; pc < 12; ++pc) out.of[pc] = NEVER;
  if (out.silent) return out;
  if (f->chords[i].target.number) {
    out.of[tone_pc(c, &f->chords[i].target)] = 0;
    return out;
  }
  const WayDegree* const third = third_of(c);
  const WayDegree* const seventh = seventh_of(c);
  if (third) out.of[tone_pc(c, third)] = 0;
  if (seventh) out.of[tone_pc(c, seventh)] = 0;
  if (third && seventh) return out;
  const WayPcSet known = before ? way_chord_pcs(before) : 0;
  for (uint8_t t = 0; t < c->n_basic; ++t) {
    const WayPc pc = tone_pc(c, &c->tones[t]);
    const bool fresh = !way_pcs_has(known, pc) || !third;
    if (out.of[pc] == NEVER && fresh) out.of[pc] = COST_SECOND_CHOICE;
  }
  return out;
}

static uint32_t movement(unsigned a, unsigned b) {
  return COST_SEMITONE * (a < b ? b - a : a - b);
}

static WayPc slot_pc(const Form* f, unsigned slot) {
  return way_pc(f->low + (int)slot);
}

/// The last sounding chord, from which the line comes back to the top.
static const WayChord* last_chord(const Form* f) {
  for (size_t i = f->n; i-- > 0;)
    if (!way_chord_is_none(&f->chords[i].chord)) return &f->chords[i].chord;
  return NULL;
}

/// The slot before that makes the best line to slot `s`; `s` itself if no line gets
/// there.
static unsigned best_before(const Form* f, const uint32_t cost[WAY_LINE_SPAN_MAX],
                            unsigned s) {
  uint32_t least = NEVER;
  unsigned best = s;
  for (unsigned p = 0; p < f->span; ++p)
    if (cost[p] != NEVER && cost[p] + movement(p, s) < least) {
      least = cost[p] + movement(p, s);
      best = p;
    }
  return best;
}

/// The cost of the best line to slot `s`, which itself costs `own`; `*from` receives
/// where it comes from.
static uint32_t step(const Form* f, const uint32_t cost[WAY_LINE_SPAN_MAX], unsigned s,
                     uint32_t own, unsigned* from) {
  *from = own == NEVER ? s : best_before(f, cost, s);
  const bool reached = own != NEVER && cost[*from] != NEVER;
  return reached ? cost[*from] + movement(*from, s) + own : NEVER;
}

/// Costs of the best lines that begin on `start` and stand on each slot at the end; in
/// `back`, if not NULL, the slot each came from, #WAY_LINE_SPAN_MAX a chord.
static void run(const Form* f, unsigned start, uint32_t cost[WAY_LINE_SPAN_MAX],
                uint8_t* back) {
  const WayChord* before = last_chord(f);
  bool begun = false;
  for (size_t i = 0; i < f->n; ++i) {
    const Choices choices = choices_at(f, i, before);
    uint8_t* const from = back ? back + i * WAY_LINE_SPAN_MAX : NULL;
    uint32_t next[WAY_LINE_SPAN_MAX];
    for (unsigned s = 0; s < f->span; ++s) {
      const uint32_t own = choices.of[slot_pc(f, s)];
      unsigned best = s;
      if (choices.silent) { // the line waits where it is
        next[s] = begun ? cost[s] : 0;
      } else if (!begun) {
        next[s] = s == start ? own : NEVER;
      } else {
        next[s] = step(f, cost, s, own, &best);
      }
      if (from) from[s] = (uint8_t)best;
    }
    memcpy(cost, next, f->span * sizeof(next[0]));
    if (choices.silent) continue;
    begun = true;
    before = &f->chords[i].chord;
  }
}

/// The best last slot of the lines that begin on `start`, the way back counted.
static uint32_t close_round(const Form* f, unsigned start,
                            const uint32_t cost[WAY_LINE_SPAN_MAX], unsigned* last) {
  uint32_t best = NEVER;
  for (unsigned s = 0; s < f->span; ++s)
    if (cost[s] != NEVER && cost[s] + movement(s, start) < best) {
      best = cost[s] + movement(s, start);
      *last = s;
    }
  return best;
}

static unsigned from_middle(const Form* f, unsigned slot) {
  return 2 * slot > f->span - 1 ? 2 * slot - (f->span - 1) : f->span - 1 - 2 * slot;
}

static WayDegree degree_of(const WayLineChord* c, WayPc pc) {
  if (c->target.number) return c->target;
  const WayDegree* const tone = way_chord_tone_at(&c->chord, pc);
  return tone ? *tone : (WayDegree){0, 0};
}

WayStatus way_line_find(const WayLineChord* chords, size_t n, uint8_t low, uint8_t high,
                        uint8_t* work, WayLineTone* out) {
  if (low > high || high > 127 || high - low < 11 ||
      high - low >= (int)WAY_LINE_SPAN_MAX)
    return WAY_ERR_RANGE;
  const Form f = {chords, n, low, high - low + 1u};
  uint32_t cost[WAY_LINE_SPAN_MAX] = {0}, least = NEVER;
  unsigned start = 0, last = 0;
  for (unsigned s = 0; n && s < f.span; ++s) {
    unsigned end = 0;
    run(&f, s, cost, NULL);
    const uint32_t total = close_round(&f, s, cost, &end);
    if (total < least || (total == least && total != NEVER &&
                          from_middle(&f, s) < from_middle(&f, start))) {
      least = total;
      start = s;
      last = end;
    }
  }
  if (n) run(&f, start, cost, work);
  unsigned slot = last;
  for (size_t i = n; i-- > 0;) {
    const bool silent = way_chord_is_none(&chords[i].chord);
    out[i] = (WayLineTone){WAY_LINE_SILENT, false, {0, 0}};
    if (!silent) {
      out[i].pitch = (uint8_t)(low + slot);
      out[i].degree = degree_of(&chords[i], way_pc(out[i].pitch));
    }
    slot = work[i * WAY_LINE_SPAN_MAX + slot];
  }
  uint8_t held = n && least != NEVER ? (uint8_t)(low + last) : WAY_LINE_SILENT;
  for (size_t i = 0; i < n; ++i) {
    if (out[i].pitch == WAY_LINE_SILENT) continue;
    out[i].common = out[i].pitch == held;
    held = out[i].pitch;
  }
  return WAY_OK;
}
