#include "chart/targets.h"

#include <stdlib.h>

WayStatus way_targets_line(const WayTimeline* t, uint8_t low, uint8_t high,
                           WayLineTone** out) {
  const uint32_t n = t->n_spans;
  WayLineChord* const chords = malloc(n * sizeof(*chords));
  uint8_t* const work = malloc(WAY_LINE_WORK((size_t)n));
  WayLineTone* const tones = malloc(n * sizeof(*tones));
  WayStatus st = WAY_ERR_NO_MEMORY;
  if (chords && work && tones) {
    for (uint32_t i = 0; i < n; ++i)
      chords[i] = (WayLineChord){way_timeline_harmony(t, i)->chord, t->spans[i].target};
    st = way_line_find(chords, n, low, high, work, tones);
  }
  free(chords);
  free(work);
  if (st)
    free(tones);
  else
    *out = tones;
  return st;
}

WayStatus way_targets_new(const WayTimeline* t, WayDegree** out) {
  WayLineTone* tones = NULL;
  WayStatus st = way_targets_line(t, WAY_TARGETS_LOW, WAY_TARGETS_HIGH, &tones);
  if (st) return st;
  WayDegree* const targets = malloc(t->n_spans * sizeof(*targets));
  if (targets) {
    for (uint32_t i = 0; i < t->n_spans; ++i) targets[i] = tones[i].degree;
    *out = targets;
  } else {
    st = WAY_ERR_NO_MEMORY;
  }
  free(tones);
  return st;
}
