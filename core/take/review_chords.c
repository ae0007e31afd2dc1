#include "take/review_chords.h"

#include <stdlib.h>

static void add(WayChordLandings* c, const WayLandingSeen* l) {
  ++c->changes;
  if (l->note != WAY_NO_NOTE) ++c->landed[l->role.interval];
}

WayStatus way_review_chords(const WayReview* r, WayChordLandings** out, uint32_t* n) {
  const uint32_t n_harmonies = r->timeline->n_harmonies;
  uint32_t* const row =
      calloc(n_harmonies + (size_t)1, sizeof(*row)); // from 1; 0: none
  WayChordLandings* const rows = calloc(n_harmonies + (size_t)1, sizeof(*rows));
  if (!row || !rows) {
    free(row);
    free(rows);
    return WAY_ERR_NO_MEMORY;
  }
  uint32_t used = 0;
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const uint32_t harmony = r->timeline->spans[r->landings[i].span].harmony;
    if (!row[harmony]) {
      row[harmony] = ++used;
      rows[used - 1].harmony = harmony;
      rows[used - 1].first = i;
    }
    add(&rows[row[harmony] - 1], &r->landings[i]);
  }
  free(row);
  *out = rows;
  *n = used;
  return WAY_OK;
}

bool way_chord_landings_open(const WayChordLandings* c, WayDegree tone) {
  return !c->landed[way_degree_pc(tone)];
}
