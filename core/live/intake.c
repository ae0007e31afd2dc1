#include "live/intake.h"

/// Lay out the melody's channels and range.
static void sort_melody(WayIntake* in, const WaySettings* s, const WayBends* bends) {
  in->melody_channels = UINT16_MAX;
  if (s->melody_channel) // of a zone, the master stands for all of it
    in->melody_channels = (uint16_t)(1u << (s->melody_channel - 1) |
                                     way_bends_zone(bends, s->melody_channel - 1u));
  const bool crossed = s->range_high < s->range_low; // then no key is in the range
  in->lowest = crossed ? 128 : s->range_low;
  in->keys = crossed ? 0 : (uint8_t)(s->range_high - s->range_low);
}

/// Lay out which keys hold chords.
static void sort_chords(WayIntake* in, const WaySettings* s) {
  in->chord_channels = 0;
  in->chords_below = 128;
  if (s->source == WAY_SOURCE_CHANNEL) {
    in->chord_channels = (uint16_t)(1u << (s->chord_channel - 1));
  } else if (s->source == WAY_SOURCE_HELD) {
    in->chord_channels = in->melody_channels;
    in->chords_below = s->split_key;
  }
}

/// The channels whose messages go to the channels of the tags, too.
static uint16_t tagged(const WayIntake* in, const WaySettings* s) {
  const uint16_t chords_only = s->source == WAY_SOURCE_CHANNEL ? in->chord_channels : 0;
  return in->tag_channel && s->enabled ? in->melody_channels & ~chords_only : 0;
}

WayIntake way_intake(const WaySettings* s, const WayBends* bends) {
  // Notes cannot leave channels that are bent apart without leaving their bends.
  const bool apart = s->strings || way_bends_apart(bends);
  WayIntake in = {.handling = (uint8_t)s->handling,
                  .remembers = s->enabled && (s->grace || s->strum),
                  .tag_channel = apart ? 0 : s->tag_channel};
  sort_melody(&in, s, bends);
  sort_chords(&in, s);
  in.tagged = tagged(&in, s);
  in.plain = in.handling == WAY_HANDLING_TAG && !in.remembers && !in.chord_channels &&
             in.melody_channels == UINT16_MAX && in.keys == 127 &&
             way_bends_none(bends);
  return in;
}

bool way_intake_has_chords(const WaySettings* s) {
  return s->source == WAY_SOURCE_CHANNEL || s->source == WAY_SOURCE_HELD;
}

bool way_intake_moves_chords(const WaySettings* a, const WaySettings* b) {
  if (!way_intake_has_chords(a) && !way_intake_has_chords(b)) return false;
  return a->source != b->source || a->chord_channel != b->chord_channel ||
         a->split_key != b->split_key || a->melody_channel != b->melody_channel;
}
