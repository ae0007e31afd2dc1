#include "take/walk.h"

#include <stdlib.h>

WayStatus way_walk_new(const WayTake* take, WayWalk* out) {
  uint32_t* const sounding = malloc((take->n + (size_t)1) * sizeof(*sounding));
  if (!sounding) return WAY_ERR_NO_MEMORY;
  *out = (WayWalk){.take = take, .sounding = sounding};
  return WAY_OK;
}

void way_walk_free(WayWalk* walk) { free(walk->sounding); }

static WayTick end_of(const WayWalk* w, uint32_t i) {
  return w->take->notes[i].start + w->take->notes[i].length;
}

void way_walk_pass(WayWalk* w, WayTick tick) {
  for (uint32_t i; (i = way_walk_next_before(w, tick)) != WAY_NO_NOTE; ++w->next)
    w->sounding[w->n_sounding++] = i;
}

uint32_t way_walk_sounding(WayWalk* w, WayTick tick) {
  while (w->n_sounding && end_of(w, w->sounding[w->n_sounding - 1]) <= tick)
    --w->n_sounding; // ticks rise: it will not sound again
  return w->n_sounding ? w->sounding[w->n_sounding - 1] : WAY_NO_NOTE;
}

uint32_t way_walk_next_before(const WayWalk* w, WayTick tick) {
  return w->next < w->take->n && w->take->notes[w->next].start < tick ? w->next
                                                                      : WAY_NO_NOTE;
}
