#include "live/recent.h"

void way_recent_init(WayRecent* r) {
  for (unsigned i = 0; i < WAY_RECENT; ++i) r->notes[i].frame = INT64_MIN;
  r->next = 0;
}

void way_recent_add(WayRecent* r, WayRecentNote note) {
  r->notes[r->next] = note;
  r->next = (r->next + 1) % WAY_RECENT;
}
