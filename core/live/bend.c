#include "live/bend.h"

#include "base/midi.h"

#include <math.h>
#include <string.h>

enum { BEND_RANGE = 0, ZONE = 6, NO_PARAMETER = 0x3FFF };
enum { MEMBER_RANGE = 4800, MASTER_RANGE = 200, RANGE_MAX = 9600 };

/// `n` channels from `first` on, as far as there are.
static uint16_t channels(unsigned first, unsigned n) {
  return (uint16_t)(((1u << (n < 16 ? n : 16)) - 1u) << first);
}

/// The members of a zone.
static uint16_t members_of(const WayBends* b, unsigned upper) {
  const unsigned n = b->members[upper];
  return upper ? channels(15 - n, n) : channels(1, n);
}

/// The master of the zone a channel is a member of; itself if of none.
static unsigned master_of(const WayBends* b, unsigned channel) {
  if (members_of(b, 0) >> channel & 1) return 0;
  return members_of(b, 1) >> channel & 1 ? 15 : channel;
}

static int own_cents(const WayBends* b, unsigned channel) {
  return b->value[channel] * b->range[channel] / 8192;
}

int way_bends_cents(const WayBends* b, unsigned channel) {
  const unsigned master = master_of(b, channel);
  return own_cents(b, channel) + (master == channel ? 0 : own_cents(b, master));
}

uint16_t way_bends_zone(const WayBends* b, unsigned channel) {
  if (channel && channel != 15) return 0;
  const uint16_t members = members_of(b, channel != 0);
  return members ? (uint16_t)(members | 1u << channel) : 0;
}

/// Work out the steps of some channels again.
static uint16_t renew(WayBends* b, uint16_t set) {
  for (unsigned c = 0; c < 16; ++c) {
    if (!(set >> c & 1)) continue;
    const int steps = (int)lround(way_bends_cents(b, c) / 100.0);
    b->steps[c] = (int8_t)(steps > 127 ? 127 : steps < -127 ? -127 : steps);
  }
  return set;
}

/// The channels that bend with a channel.
static uint16_t bent_with(const WayBends* b, unsigned channel) {
  const uint16_t zone = way_bends_zone(b, channel);
  return zone ? zone : channels(channel, 1);
}

static uint16_t set_range(WayBends* b, unsigned channel, unsigned cents) {
  const unsigned master = master_of(b, channel);
  const uint16_t set =
      master == channel ? channels(channel, 1) : members_of(b, master != 0);
  for (unsigned c = 0; c < 16; ++c)
    if (set >> c & 1) b->range[c] = (uint16_t)(cents < RANGE_MAX ? cents : RANGE_MAX);
  return renew(b, (uint16_t)(set | bent_with(b, channel)));
}

/// The channels of both zones, masters included.
static uint16_t zoned(const WayBends* b) {
  return way_bends_zone(b, 0) | way_bends_zone(b, 15);
}

/// Make a zone of `n` members; the newer of two that meet has its way.
static uint16_t set_zone(WayBends* b, unsigned upper, unsigned n) {
  const uint16_t before = zoned(b);
  b->members[upper] = (uint8_t)(n < 15 ? n : 15);
  const unsigned left = b->members[upper] < 14 ? 14u - b->members[upper] : 0;
  if (b->members[!upper] > left) b->members[!upper] = (uint8_t)left;
  const uint16_t members = members_of(b, upper);
  for (unsigned c = 0; c < 16; ++c)
    if (members >> c & 1) b->range[c] = MEMBER_RANGE;
  if (members) b->range[upper ? 15 : 0] = MASTER_RANGE;
  const uint16_t left_over = (uint16_t)(before & ~zoned(b));
  for (unsigned c = 0; c < 16; ++c)
    if (left_over >> c & 1) b->range[c] = b->given;
  return renew(b, UINT16_MAX);
}

/// Data increment or decrement: of a bend's range they count in cents (RP-018).
static uint16_t step_data(WayBends* b, unsigned channel, int step) {
  const int range = b->range[channel] + step;
  if (b->parameter[channel] != BEND_RANGE || range < 0) return 0;
  return set_range(b, channel, (unsigned)range);
}

static uint16_t set_data(WayBends* b, unsigned channel, unsigned value, bool coarse) {
  const unsigned parameter = b->parameter[channel], range = b->range[channel];
  if (parameter == BEND_RANGE)
    return set_range(b, channel,
                     coarse ? value * 100 + range % 100
                            : range - range % 100 + (value < 100 ? value : 99));
  if (parameter == ZONE && coarse && (channel == 0 || channel == 15))
    return set_zone(b, channel != 0, value);
  return 0;
}

static uint16_t hear_controller(WayBends* b, unsigned channel, unsigned number,
                                unsigned value) {
  uint16_t* const parameter = &b->parameter[channel];
  switch (number) {
  case WAY_CONTROLLER_REGISTERED:
    *parameter = (uint16_t)(value << 7 | (*parameter & 127));
    break;
  case WAY_CONTROLLER_REGISTERED_FINE:
    *parameter = (uint16_t)((*parameter & ~127u) | value);
    break;
  case WAY_CONTROLLER_OTHER_FINE:
  case WAY_CONTROLLER_OTHER: *parameter = NO_PARAMETER; break;
  case WAY_CONTROLLER_DATA: return set_data(b, channel, value, true);
  case WAY_CONTROLLER_DATA_FINE: return set_data(b, channel, value, false);
  case WAY_CONTROLLER_INCREMENT: return step_data(b, channel, 1);
  case WAY_CONTROLLER_DECREMENT: return step_data(b, channel, -1);
  case WAY_CONTROLLER_RESET:
    *parameter = NO_PARAMETER;
    b->value[channel] = 0;
    return renew(b, bent_with(b, channel));
  case WAY_CONTROLLER_MONO:
    b->mono |= channels(channel, value ? value : 16u - channel);
    break;
  case WAY_CONTROLLER_POLY: b->mono = 0; break;
  default: break;
  }
  return 0;
}

void way_bends_set_range(WayBends* b, double range) {
  const double cents = fmin(fmax(range, 0), RANGE_MAX / 100) * 100 + 0.5;
  b->given = (uint16_t)cents;
  const uint16_t set = (uint16_t)~zoned(b);
  for (unsigned c = 0; c < 16; ++c)
    if (set >> c & 1) b->range[c] = b->given;
  renew(b, UINT16_MAX);
}

void way_bends_init(WayBends* b, double range) {
  memset(b, 0, sizeof(*b));
  for (unsigned c = 0; c < 16; ++c) b->parameter[c] = NO_PARAMETER;
  way_bends_set_range(b, range);
}

uint16_t way_bends_hear(WayBends* b, const uint8_t bytes[3]) {
  const unsigned channel = bytes[0] & 15u;
  if ((bytes[0] & 0xF0) == WAY_MIDI_CONTROLLER)
    return hear_controller(b, channel, bytes[1], bytes[2]);
  if ((bytes[0] & 0xF0) != WAY_MIDI_BEND) return 0;
  b->value[channel] = (int16_t)((bytes[1] & 127) + (bytes[2] & 127) * 128 - 8192);
  return renew(b, bent_with(b, channel));
}
