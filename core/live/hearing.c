#include "live/hearing.h"

void way_hearing_init(WayHearing* h) {
  *h = (WayHearing){
      .settle_due = INT64_MAX, .forget_due = INT64_MAX, .together_until = INT64_MIN};
}

void way_hearing_strike(WayHearing* h, const WayFollow* f, int64_t frame,
                        uint8_t channel, uint8_t number, double strum) {
  const bool together = frame < h->together_until;
  way_listen_strike(&h->listen, channel, number, together);
  if (!together) {
    h->struck_first = frame;
    h->read = false;
  }
  h->joined = together;
  h->together_until = way_follow_later(f, frame, strum > WAY_STRUM ? strum : WAY_STRUM);
  h->settle_due = frame;
  if (strum > 0) {
    const int64_t next = way_follow_later(f, frame, strum);
    const int64_t latest = way_follow_later(f, h->struck_first, WAY_STRUMS * strum);
    h->settle_due = next < latest ? next : latest > frame ? latest : frame;
  }
}

/// Keys that went up bring out another chord, unless one is to be read anyway.
static void read_anew(WayHearing* h, int64_t frame) {
  if (h->settle_due != INT64_MAX) return;
  h->settle_due = frame;
  h->joined = false;
}

void way_hearing_stay(WayHearing* h, const WayFollow* f, int64_t frame, double stays) {
  if (!h->listen.known || h->listen.held.n) return;
  const int64_t due =
      way_follow_later(f, h->silent_since, stays > 0 ? stays : WAY_HEARD_STAYS);
  h->forget_due = due > frame ? due : frame;
}

void way_hearing_fade(WayHearing* h, const WayFollow* f, int64_t frame, double stays) {
  if (h->listen.held.n) return;
  h->silent_since = frame;
  way_hearing_stay(h, f, frame, stays);
}

/// Keys went up, of `before` that were held: start to wait for silence to last.
static void lifted(WayHearing* h, const WayFollow* f, int64_t frame, uint16_t before,
                   double stays) {
  if (!before || h->listen.held.n) return;
  h->silent_since = frame;
  h->forget_due = way_follow_later(f, frame, stays > 0 ? stays : WAY_HEARD_STAYS);
}

void way_hearing_lift(WayHearing* h, const WayFollow* f, int64_t frame, uint8_t channel,
                      uint8_t number, double stays) {
  const uint16_t before = h->listen.held.n;
  if (way_listen_lift(&h->listen, channel, number)) read_anew(h, frame);
  lifted(h, f, frame, before, stays);
}

void way_hearing_pedal(WayHearing* h, const WayFollow* f, int64_t frame,
                       uint8_t channel, bool down, double stays) {
  const uint16_t before = h->listen.held.n;
  if (way_listen_pedal(&h->listen, channel, down)) read_anew(h, frame);
  lifted(h, f, frame, before, stays);
}

void way_hearing_clear(WayHearing* h, const WayFollow* f, int64_t frame,
                       uint8_t channel, double stays) {
  const uint16_t before = h->listen.held.n;
  way_listen_clear_channel(&h->listen, channel);
  lifted(h, f, frame, before, stays);
}

bool way_hearing_settle(WayHearing* h, const WayKey* key) {
  h->settle_due = INT64_MAX;
  if (!way_listen_settle(&h->listen, key)) return false;
  h->again = h->joined && h->read;
  h->read = true;
  return true;
}

int64_t way_hearing_began(const WayHearing* h, const WayFollow* f, int64_t read,
                          double strum) {
  const int64_t earliest = read - (int64_t)(WAY_STRUMS * strum * f->rate);
  return h->struck_first > earliest ? h->struck_first : earliest;
}
