#include "take/phrases.h"

#include "take/big.h"

#include <math.h>
#include <stdlib.h>

enum {
  QUARTER = WAY_TICKS_PER_QUARTER,
  AT_ONCE = QUARTER / 8, // notes this close begin together: half a sixteenth note
  AROUND = 6,            // steps looked at on either side to learn the usual one
  NOTES_AROUND = 64,     // notes looked through for them
  CUTS_BACK = 32,        // candidates a phrase may pass over
  HEAD = 3,              // steps in which openings of phrases are compared
};

// Weights of docs/review.md, in units of the logarithm of a rest.
#define WEIGHT_STEP 0.3F  // of the time from onset to onset, beside a rest
#define WEIGHT_LEAP 0.03F // a semitone
#define STEPS 3.0F        // semitones that are no leap
#define WEIGHT_PLACE 0.1F
#define WEIGHT_HEAD 0.2F
#define WEIGHT_LONG 0.01F
#define FLOOR (-0.7F) // weaker candidates are not considered
#define CLEAR 0.15F   // stronger ones are boundaries whatever speaks for others

/// A place where a phrase may begin.
typedef struct {
  uint32_t note;
  uint32_t from; // the candidate that the phrase before it begins with, in the best way
  float strength; // above 0: rather a boundary than not
  float best;     // of the best way to divide all notes before it
} Cut;

typedef struct {
  const WayTake* take;
  WayTick bar;
  float pace; // how much longer rests must be in quick tempos
  uint32_t n;
  Cut* cuts; // the first is the take's beginning, the last its end
} Division;

// ---- How much a place looks like a boundary.

/// Steps from onset to onset on one side of the step that ends at `note`, without it.
static unsigned steps(const WayTake* take, uint32_t note, int side, WayTick* out) {
  uint32_t i = side < 0 ? note - 1 : note;
  WayTick last = take->notes[i].start;
  unsigned n = 0;
  for (unsigned left = NOTES_AROUND; left && n < AROUND; --left) {
    if (side < 0 ? !i : i + 1 == take->n) break;
    i = side < 0 ? i - 1 : i + 1;
    const WayTick start = take->notes[i].start;
    if (llabs(start - last) <= AT_ONCE) continue;
    out[n++] = llabs(start - last);
    last = start;
  }
  return n;
}

/// The step that is usual around a note: the median; 0 if there is none.
static WayTick usual_step(const WayTake* take, uint32_t note) {
  WayTick sorted[2 * AROUND];
  unsigned n = steps(take, note, -1, sorted);
  n += steps(take, note, 1, sorted + n);
  for (unsigned i = 1; i < n; ++i) { // few and partly sorted
    const WayTick step = sorted[i];
    unsigned k = i;
    for (; k && sorted[k - 1] > step; --k) sorted[k] = sorted[k - 1];
    sorted[k] = step;
  }
  return n ? sorted[n / 2] : 0;
}

static float clamp(float value, float low, float high) {
  return value < low ? low : value > high ? high : value;
}

/// The rest, in quarter notes, that makes a boundary around a note.
static float usual_rest(const Division* d, uint32_t note) {
  const float step = (float)usual_step(d->take, note) / QUARTER;
  return (step > 0 ? clamp(powf(2 * step, 0.25F), 0.7F, 1.5F) : 1) * d->pace;
}

/// How much `note` looks like a beginning, where sound before it ends at `end` and the
/// note before it begins `step` earlier.
static float strength(const Division* d, uint32_t note, WayTick end, WayTick step) {
  const WayNote* const notes = d->take->notes;
  const float rest = clamp((float)(notes[note].start - end) / QUARTER, 0, 16);
  const float wait = clamp((float)step / QUARTER, 0, 64) * WEIGHT_STEP;
  const int leap = abs(notes[note].pitch - notes[note - 1].pitch);
  return logf(sqrtf(rest * rest + wait * wait) / usual_rest(d, note)) +
         WEIGHT_LEAP * (clamp((float)leap, STEPS, 12) - STEPS);
}

static bool push_cut(Division* d, Cut cut) {
  if (!(d->n & (d->n - 1))) { // room doubles at powers of two
    const size_t room = d->n ? 2 * (size_t)d->n : 1;
    Cut* const more = way_big_resize(d->cuts, room * sizeof(*more));
    if (!more) return false;
    d->cuts = more;
  }
  d->cuts[d->n++] = cut;
  return true;
}

/// Gather the places that come into question.
static bool find_cuts(Division* d) {
  const WayTake* const take = d->take;
  if (!push_cut(d, (Cut){.note = 0})) return false;
  WayTick end = take->notes[0].start + take->notes[0].length;
  for (uint32_t i = 1; i < take->n; ++i) {
    const WayNote* const note = &take->notes[i];
    const WayTick step = note->start - take->notes[i - 1].start;
    // Nothing less can reach the floor.
    if (step > QUARTER / 4 && (note->start - end > QUARTER / 8 || step > QUARTER)) {
      const float s = strength(d, i, end, step);
      if (s > FLOOR && !push_cut(d, (Cut){.note = i, .strength = s})) return false;
    }
    if (note->start + note->length > end) end = note->start + note->length;
  }
  return push_cut(d, (Cut){.note = take->n});
}

// ---- Which of them to take: the best sum of boundaries and phrases.

/// How usual a phrase of `n` notes is: shorter than four or longer than some thirty is
/// rarer.
static float likely_length(uint32_t n) {
  static const float few[] = {0, -0.5F, -0.3F, -0.1F};
  if (n < WAY_COUNT(few)) return few[n];
  return n > 32 ? -WEIGHT_LONG * (float)((n < 82 ? n : 82) - 32) : 0;
}

/// Whether two phrases open alike: the same steps in time and the same directions.
static bool same_head(const WayTake* take, uint32_t a, uint32_t b) {
  if (b + HEAD >= take->n) return false;
  for (uint32_t i = 0; i < HEAD; ++i) {
    const WayNote *x = &take->notes[a + i], *y = &take->notes[b + i];
    const int up = x[1].pitch - x->pitch, up_too = y[1].pitch - y->pitch;
    if ((up > 0) != (up_too > 0) || (up < 0) != (up_too < 0)) return false;
    const WayTick step = x[1].start - x->start, step_too = y[1].start - y->start;
    if (llabs(step - step_too) > AT_ONCE) return false;
  }
  return true;
}

static float parallel(const Division* d, const Cut* a, const Cut* b) {
  const WayTake* const take = d->take;
  if (b->note == take->n) return 0;
  const WayTick off =
      (take->notes[b->note].start - take->notes[a->note].start) % d->bar;
  const bool place = off <= AT_ONCE || d->bar - off <= AT_ONCE;
  return (place ? WEIGHT_PLACE : 0) +
         (same_head(take, a->note, b->note) ? WEIGHT_HEAD : 0);
}

static void divide(Division* d) {
  for (uint32_t i = 1; i < d->n; ++i) {
    Cut* const to = &d->cuts[i];
    to->best = -INFINITY;
    for (uint32_t back = 1; back <= CUTS_BACK && back <= i; ++back) {
      const Cut* const from = &d->cuts[i - back];
      if (back > 1 && from[1].strength > CLEAR) break; // it would be passed over
      float sum = from->best + to->strength + likely_length(to->note - from->note);
      if (sum + WEIGHT_PLACE + WEIGHT_HEAD <= to->best) continue; // spares the rest
      sum += parallel(d, from, to);
      if (sum <= to->best) continue;
      to->best = sum;
      to->from = i - back;
    }
  }
}

// ---- Phrases.

static WayPhrase phrase(const WayTake* take, uint32_t first, uint32_t end) {
  WayPhrase p = {
      .first = first, .last = end - 1, .start = take->notes[first].start, .low = 127};
  for (uint32_t i = first; i < end; ++i) {
    const WayNote* const note = &take->notes[i];
    if (note->start + note->length > p.end) p.end = note->start + note->length;
    if (note->pitch < p.low) p.low = note->pitch;
    if (note->pitch > p.high) p.high = note->pitch;
  }
  const WayTick space = end < take->n ? take->notes[end].start - p.end : 0;
  p.space = space > 0 ? space : 0;
  return p;
}

/// Follow the best way back from the end.
static bool collect(const Division* d, WayPhrase** out, uint32_t* n) {
  uint32_t count = 0;
  for (uint32_t i = d->n - 1; i; i = d->cuts[i].from) ++count;
  WayPhrase* const phrases = way_big_resize(NULL, count * sizeof(*phrases));
  if (!phrases) return false;
  uint32_t left = count;
  for (uint32_t i = d->n - 1; i; i = d->cuts[i].from)
    phrases[--left] = phrase(d->take, d->cuts[d->cuts[i].from].note, d->cuts[i].note);
  *out = phrases;
  *n = count;
  return true;
}

WayStatus way_phrases(const WayTake* take, WayTick bar, WayPhrase** out, uint32_t* n) {
  if (!take->n) {
    *out = NULL;
    *n = 0;
    return WAY_OK;
  }
  const float tempo = take->tempo > 0 ? (float)take->tempo : 150;
  Division d = {
      .take = take, .bar = bar, .pace = powf(clamp(tempo / 150, 0.3F, 3), 0.2F)};
  bool room = find_cuts(&d);
  if (room) {
    divide(&d);
    room = collect(&d, out, n);
  }
  free(d.cuts);
  return room ? WAY_OK : WAY_ERR_NO_MEMORY;
}
