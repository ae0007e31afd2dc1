#include "take/fit_path.h"

#include <stdlib.h>
#include <string.h>

#define PITCHES 128u

/// The choices of one note, rising, and what the cheapest way to each costs.
typedef struct {
  unsigned n;
  uint8_t pitch[PITCHES];
  WayFitCost cost[PITCHES];
} Column;

static bool less(WayFitCost a, WayFitCost b) {
  if (a.left != b.left) return a.left < b.left;
  if (a.moved != b.moved) return a.moved < b.moved;
  return a.bent < b.bent;
}

static WayFitCost sum(WayFitCost a, WayFitCost b) {
  return (WayFitCost){a.left + b.left, a.moved + b.moved, a.bent + b.bent};
}

WayFitCost way_fit_cost(const WayFitStep* steps, size_t i, uint8_t from,
                        uint8_t pitch) {
  const WayFitStep* const s = &steps[i];
  const int interval = i ? s->pitch - s[-1].pitch : 0;
  return (WayFitCost){
      .left = way_fit_step_has(s, pitch) ? 0 : s->price,
      .moved = (uint64_t)abs(pitch - s->pitch) * s->weight,
      .bent = i ? (uint64_t)abs(pitch - from - interval) : 0,
  };
}

/// The choices of a step as the bits of two words.
static void choices_of(const WayFitStep* s, uint64_t bits[2]) {
  bits[0] = s->to[0];
  bits[1] = s->to[1];
  bits[s->pitch >> 6] |= UINT64_C(1) << (s->pitch & 63);
}

static void list_choices(const WayFitStep* s, Column* out) {
  uint64_t bits[2];
  choices_of(s, bits);
  out->n = 0;
  for (unsigned word = 0; word < 2; ++word)
    for (; bits[word]; bits[word] &= bits[word] - 1)
      out->pitch[out->n++] =
          (uint8_t)(64 * word + (unsigned)__builtin_ctzll(bits[word]));
}

/// How many choices a step has below a pitch (0..128).
static unsigned count_below(const WayFitStep* s, unsigned pitch) {
  uint64_t bits[2];
  choices_of(s, bits);
  if (pitch < PITCHES) bits[pitch >> 6] &= (UINT64_C(1) << (pitch & 63)) - 1;
  if (pitch < 64) bits[1] = 0;
  return (unsigned)(__builtin_popcountll(bits[0]) + __builtin_popcountll(bits[1]));
}

static int sign(int x) { return (x > 0) - (x < 0); }

/// The cheapest of the choices before, but for how they bend the next interval.
typedef struct {
  unsigned n;
  uint8_t choice[PITCHES];
} Front;

/// Take one more choice into account.
static void offer(const Column* before, unsigned b, Front* front) {
  if (front->n) {
    const WayFitCost *x = &before->cost[b], *y = &before->cost[front->choice[0]];
    const bool equal = x->left == y->left && x->moved == y->moved;
    if (!equal && !less(*x, *y)) return;
    if (!equal) front->n = 0;
  }
  front->choice[front->n++] = (uint8_t)b;
}

/// Choose from the front what choice `c` is best reached from; returns its pitch.
static uint8_t reach(const WayFitStep* steps, size_t i, const Column* before,
                     const Front* front, Column* now, unsigned c) {
  // All of the front have come equally far but for what is bent.
  const int interval = steps[i].pitch - steps[i - 1].pitch;
  unsigned best = front->choice[0];
  uint64_t least = UINT64_MAX;
  for (unsigned f = 0; f < front->n; ++f) {
    const unsigned b = front->choice[f];
    const uint64_t bent = before->cost[b].bent +
                          (uint64_t)abs(now->pitch[c] - before->pitch[b] - interval);
    if (bent >= least) continue;
    least = bent;
    best = b;
  }
  const uint8_t from = before->pitch[best];
  now->cost[c] = sum(before->cost[best], way_fit_cost(steps, i, from, now->pitch[c]));
  return from;
}

/// Fill in the costs of note `i` behind those of the note before; `from` receives for
/// each choice the pitch it is best reached from.
///
/// Where the line rises, a choice is reached from all below it: walking upwards, these
/// only become more, so each choice before is looked at once.  Falling, the same the
/// other way round.
static void advance(const WayFitStep* steps, size_t i, const Column* before,
                    Column* now, uint8_t* from) {
  const int way = sign(steps[i].pitch - steps[i - 1].pitch);
  bool reached[PITCHES];
  Front front = {.n = 0};
  for (unsigned k = 0, next = 0; k < now->n; ++k) {
    const unsigned c = way < 0 ? now->n - 1 - k : k;
    if (!way) front.n = 0;
    for (; next < before->n; ++next) {
      const unsigned b = way < 0 ? before->n - 1 - next : next;
      const int there = sign(now->pitch[c] - before->pitch[b]);
      if (way ? there != way : there < 0) break;
      if (there == way) offer(before, b, &front);
    }
    reached[c] = front.n > 0;
    if (reached[c]) from[c] = reach(steps, i, before, &front, now, c);
  }
  unsigned kept = 0;
  for (unsigned c = 0; c < now->n; ++c) {
    if (!reached[c]) continue;
    now->pitch[kept] = now->pitch[c];
    now->cost[kept++] = now->cost[c];
  }
  now->n = kept;
}

/// Where each note's choices begin among those of all.
static size_t lay_out(const WayFitStep* steps, size_t n, size_t* first) {
  size_t all = 0;
  for (size_t i = 0; i < n; ++i) {
    first[i] = all;
    all += count_below(&steps[i], PITCHES);
  }
  return all;
}

static void find(const WayFitStep* steps, size_t n, const size_t* first, uint8_t* from,
                 uint8_t* out) {
  Column columns[2];
  list_choices(&steps[0], &columns[0]);
  for (unsigned c = 0; c < columns[0].n; ++c)
    columns[0].cost[c] = way_fit_cost(steps, 0, 0, columns[0].pitch[c]);
  for (size_t i = 1; i < n; ++i) {
    Column* const now = &columns[i & 1];
    list_choices(&steps[i], now);
    advance(steps, i, &columns[~i & 1], now, from + first[i]);
  }
  const Column* const last = &columns[(n - 1) & 1];
  unsigned best = 0;
  for (unsigned c = 1; c < last->n; ++c)
    if (less(last->cost[c], last->cost[best])) best = c;
  uint8_t pitch = last->pitch[best];
  for (size_t i = n; i--;) {
    out[i] = pitch;
    if (i) pitch = from[first[i] + count_below(&steps[i], pitch)];
  }
}

WayStatus way_fit_path(const WayFitStep* steps, size_t n, uint8_t* out) {
  if (!n) return WAY_OK;
  size_t* const first = malloc(n * sizeof(*first));
  uint8_t* const from = first ? malloc(lay_out(steps, n, first)) : NULL;
  if (from) find(steps, n, first, from, out);
  const bool room = from != NULL;
  free(first);
  free(from);
  return room ? WAY_OK : WAY_ERR_NO_MEMORY;
}
