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

static void list_choices(const WayFitStep* s, Column* out) {
  out->n = 0;
  for (unsigned p = 0; p < PITCHES; ++p)
    if (p == s->pitch || way_fit_step_has(s, p)) out->pitch[out->n++] = (uint8_t)p;
}

static int sign(int x) { return (x > 0) - (x < 0); }

/// Fill in the costs of note `i` behind those of the note before; `from` receives for
/// each choice the index of the choice it is best reached from.
static void advance(const WayFitStep* steps, size_t i, const Column* before,
                    Column* now, uint8_t* from) {
  const int way = sign(steps[i].pitch - steps[i - 1].pitch);
  unsigned kept = 0; // choices that can be reached
  for (unsigned c = 0; c < now->n; ++c) {
    const uint8_t pitch = now->pitch[c];
    bool reached = false;
    WayFitCost best = {0};
    for (unsigned b = 0; b < before->n; ++b) {
      if (sign(pitch - before->pitch[b]) != way) continue;
      const WayFitCost cost =
          sum(before->cost[b], way_fit_cost(steps, i, before->pitch[b], pitch));
      if (reached && !less(cost, best)) continue;
      best = cost;
      from[kept] = (uint8_t)b;
      reached = true;
    }
    if (!reached) continue;
    now->pitch[kept] = pitch;
    now->cost[kept++] = best;
  }
  now->n = kept;
}

/// Where each note's choices begin among those of all.
static size_t lay_out(const WayFitStep* steps, size_t n, size_t* first) {
  size_t all = 0;
  for (size_t i = 0; i < n; ++i) {
    first[i] = all;
    Column choices;
    list_choices(&steps[i], &choices);
    all += choices.n;
  }
  return all;
}

static void find(const WayFitStep* steps, size_t n, const size_t* first, uint8_t* from,
                 uint8_t* pitch, uint8_t* out) {
  Column columns[2];
  list_choices(&steps[0], &columns[0]);
  for (unsigned c = 0; c < columns[0].n; ++c)
    columns[0].cost[c] = way_fit_cost(steps, 0, 0, columns[0].pitch[c]);
  memcpy(pitch, columns[0].pitch, columns[0].n);
  for (size_t i = 1; i < n; ++i) {
    Column* const now = &columns[i & 1];
    list_choices(&steps[i], now);
    advance(steps, i, &columns[~i & 1], now, from + first[i]);
    memcpy(pitch + first[i], now->pitch, now->n);
  }
  const Column* const last = &columns[(n - 1) & 1];
  unsigned best = 0;
  for (unsigned c = 1; c < last->n; ++c)
    if (less(last->cost[c], last->cost[best])) best = c;
  for (size_t i = n; i--;) {
    out[i] = pitch[first[i] + best];
    if (i) best = from[first[i] + best];
  }
}

WayStatus way_fit_path(const WayFitStep* steps, size_t n, uint8_t* out) {
  if (!n) return WAY_OK;
  size_t* const first = malloc(n * sizeof(*first));
  const size_t all = first ? lay_out(steps, n, first) : 0;
  uint8_t* const from = malloc(all + 1);
  uint8_t* const pitch = malloc(all + 1);
  const bool room = first && from && pitch;
  if (room) find(steps, n, first, from, pitch, out);
  free(first);
  free(from);
  free(pitch);
  return room ? WAY_OK : WAY_ERR_NO_MEMORY;
}
