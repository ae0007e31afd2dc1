#include "live/waiting.h"

#include <stdlib.h>

static void find_due(WayWaiting* w) {
  w->due = INT64_MAX;
  for (unsigned i = 0; i < WAY_WAITING; ++i)
    if (w->notes[i].due < w->due) w->due = w->notes[i].due;
}

void way_waiting_init(WayWaiting* w) {
  for (unsigned i = 0; i < WAY_WAITING; ++i) w->notes[i].due = INT64_MAX;
  find_due(w);
}

bool way_waiting_add(WayWaiting* w, WayWaitingNote note) {
  for (unsigned i = 0; i < WAY_WAITING; ++i) {
    if (w->notes[i].due != INT64_MAX) continue;
    w->notes[i] = note;
    find_due(w);
    return true;
  }
  return false;
}

void way_waiting_resolve(WayWaiting* w, WayKeyIndex key, uint8_t pitch, bool inside) {
  for (unsigned i = 0; i < WAY_WAITING; ++i) {
    WayWaitingNote* const note = &w->notes[i];
    const int step = abs(pitch - note->pitch);
    if ((inside && step >= 1 && step <= 2) || note->key == key) note->due = INT64_MAX;
  }
  find_due(w);
}

bool way_waiting_take(WayWaiting* w, int64_t frame, WayWaitingNote* out) {
  for (unsigned i = 0; i < WAY_WAITING; ++i) {
    if (w->notes[i].due > frame) continue;
    *out = w->notes[i];
    w->notes[i].due = INT64_MAX;
    find_due(w);
    return true;
  }
  return false;
}
