#include "live/settling.h"

static void find_due(WaySettling* s) {
  s->due = INT64_MAX;
  for (unsigned c = 0; c < 16; ++c)
    if (s->dues[c] < s->due) s->due = s->dues[c];
}

void way_settling_init(WaySettling* s) {
  memset(s, 0, sizeof(*s));
  for (unsigned c = 0; c < 16; ++c) s->dues[c] = INT64_MAX;
  find_due(s);
}

void way_settling_follow(WaySettling* s, const WayBends* bends, uint16_t channels,
                         int64_t settled) {
  for (unsigned c = 0; c < 16; ++c) {
    if (!(channels >> c & 1)) continue;
    const int steps = bends->steps[c];
    const int off = way_bends_cents(bends, c) - 100 * steps;
    const bool rests = off <= WAY_BEND_NEAR && off >= -WAY_BEND_NEAR;
    if (!rests || steps == s->told[c])
      s->dues[c] = INT64_MAX;
    else if (s->dues[c] == INT64_MAX || steps != s->next[c])
      s->dues[c] = settled;
    s->next[c] = (int8_t)steps;
  }
  find_due(s);
}

void way_settling_tell(WaySettling* s, const WayBends* bends, unsigned channel) {
  s->told[channel & 15u] = bends->steps[channel & 15u];
  s->dues[channel & 15u] = INT64_MAX;
  find_due(s);
}
