#include "chart/targets.h"

#include "theory/guide_line.h"

#include <stdlib.h>

WayStatus way_targets_new(const WayTimeline* t, WayDegree** out) {
  const uint32_t n = t->n_spans;
  WayLineChord* const chords = calloc(n, sizeof(*chords));
  uint8_t* const work = malloc(WAY_LINE_WORK((size_t)n));
  WayLineTone* const tones = malloc(n * sizeof(*tones));
  WayDegree* const targets = malloc(n * sizeof(*targets));
  WayStatus st = WAY_ERR_NO_MEMORY;
  if (chords && work && tones && targets) {
    for (uint32_t i = 0; i < n; ++i)
      chords[i] = (WayLineChord){way_timeline_harmony(t, i)->chord, t->spans[i].target};
    st = way_line_find(chords, n, WAY_TARGETS_LOW, WAY_TARGETS_HIGH, work, tones);
    for (uint32_t i = 0; !st && i < n; ++i) targets[i] = tones[i].degree;
  }
  free(chords);
  free(work);
  free(tones);
  if (st)
    free(targets);
  else
    *out = targets;
  return st;
}
