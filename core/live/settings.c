#include "live/settings.h"

static const char* const handlings[WAY_HANDLING_COUNT] = {"tag", "filter", "snap"};
static const char* const snaps[WAY_SNAP_COUNT] = {"nearest", "up", "down"};
static const char* const helds[WAY_HELD_COUNT] = {"keep", "release", "move"};
static const char* const sources[WAY_SOURCE_COUNT] = {"auto", "chart", "track",
                                                      "channel", "held"};

/// Entry `index`, or "" if it is out of range.
static const char* name_of(const char* const* names, unsigned count, unsigned index) {
  return index < count ? names[index] : "";
}

/// Index of `name`, or `count`.
static unsigned find(const char* const* names, unsigned count, WayText name) {
  unsigned i = 0;
  while (i < count && !way_text_is(name, names[i])) ++i;
  return i;
}

WaySettings way_settings_default(void) {
  return (WaySettings){
      .enabled = true,
      .handling = WAY_HANDLING_TAG,
      .material = WAY_MATERIAL_CHORD_SCALE,
      .snap = WAY_SNAP_NEAREST,
      .held = WAY_HELD_KEEP,
      .source = WAY_SOURCE_AUTO,
      .early = 0,
      .melody_channel = 0,
      .chord_channel = 16,
      .split_key = 48,
      .tag_channel = 0,
      .start_bar = 1,
  };
}

/// `value` held between two ends.
static unsigned held_in(unsigned value, unsigned low, unsigned high) {
  return value < low ? low : value > high ? high : value;
}

WaySettings way_settings_clamped(const WaySettings* s) {
  WaySettings c = *s;
  c.handling = (WayHandling)held_in(s->handling, 0, WAY_HANDLING_COUNT - 1);
  c.material = (WayMaterial)held_in(s->material, 0, WAY_MATERIAL_COUNT - 1);
  c.snap = (WaySnap)held_in(s->snap, 0, WAY_SNAP_COUNT - 1);
  c.held = (WayHeld)held_in(s->held, 0, WAY_HELD_COUNT - 1);
  c.source = (WaySource)held_in(s->source, 0, WAY_SOURCE_COUNT - 1);
  c.early = s->early >= 0 ? s->early <= WAY_EARLY_MAX ? s->early : WAY_EARLY_MAX : 0;
  c.melody_channel = (uint8_t)held_in(s->melody_channel, 0, 16);
  c.chord_channel = (uint8_t)held_in(s->chord_channel, 1, 16);
  c.split_key = (uint8_t)held_in(s->split_key, 0, 127);
  c.tag_channel = (uint8_t)held_in(s->tag_channel, 0, WAY_TAG_CHANNEL_MAX);
  if (c.start_bar < 1) c.start_bar = 1;
  return c;
}

const char* way_handling_name(WayHandling v) {
  return name_of(handlings, WAY_HANDLING_COUNT, v);
}
WayHandling way_handling_find(WayText name) {
  return (WayHandling)find(handlings, WAY_HANDLING_COUNT, name);
}
const char* way_snap_name(WaySnap v) { return name_of(snaps, WAY_SNAP_COUNT, v); }
WaySnap way_snap_find(WayText name) {
  return (WaySnap)find(snaps, WAY_SNAP_COUNT, name);
}
const char* way_held_name(WayHeld v) { return name_of(helds, WAY_HELD_COUNT, v); }
WayHeld way_held_find(WayText name) {
  return (WayHeld)find(helds, WAY_HELD_COUNT, name);
}
const char* way_source_name(WaySource v) {
  return name_of(sources, WAY_SOURCE_COUNT, v);
}
WaySource way_source_find(WayText name) {
  return (WaySource)find(sources, WAY_SOURCE_COUNT, name);
}
