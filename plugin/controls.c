#include "controls.h"

#include <math.h>

#define START_BAR_MAX 10000 ///< As in ttl/waymark.ttl

void way_controls_init(WayControls* c) {
  const WaySettings s = way_settings_default();
  const float defaults[WAY_CONTROL_COUNT] = {
      [WAY_CONTROL_ENABLED] = s.enabled,
      [WAY_CONTROL_HANDLING] = (float)s.handling,
      [WAY_CONTROL_MATERIAL] = (float)s.material,
      [WAY_CONTROL_SNAP] = (float)s.snap,
      [WAY_CONTROL_HELD] = (float)s.held,
      [WAY_CONTROL_SOURCE] = (float)s.source,
      [WAY_CONTROL_EARLY] = (float)s.early,
      [WAY_CONTROL_MELODY_CHANNEL] = s.melody_channel,
      [WAY_CONTROL_CHORD_CHANNEL] = s.chord_channel,
      [WAY_CONTROL_SPLIT_KEY] = s.split_key,
      [WAY_CONTROL_TAG_CHANNEL] = s.tag_channel,
      [WAY_CONTROL_START_BAR] = (float)s.start_bar,
      [WAY_CONTROL_MARK_CHANNEL] = 16,
      [WAY_CONTROL_MARKS_ON_OUT] = 0,
  };
  memcpy(c->defaults, defaults, sizeof(defaults));
  memset(c->seen, 0xFF, sizeof(c->seen)); // a NAN no port begins with
  for (unsigned i = 0; i < WAY_CONTROL_COUNT; ++i) c->ports[i] = &c->defaults[i];
  c->block = c->defaults;
}

void way_controls_connect(WayControls* c, unsigned control, const float* at) {
  c->ports[control] = at ? at : &c->defaults[control];
  c->block = c->ports[0];
  for (unsigned i = 0; i < WAY_CONTROL_COUNT; ++i)
    if ((uintptr_t)c->ports[i] != (uintptr_t)c->ports[0] + i * sizeof(float))
      c->block = NULL;
}

static float ranged(const WayControls* c, unsigned control, float least, float most) {
  float value;
  memcpy(&value, &c->seen[control], sizeof(value));
  if (isnan(value)) value = c->defaults[control];
  return value < least ? least : value > most ? most : value;
}

/// The nearest whole number in least..most.
static int whole(const WayControls* c, unsigned control, int least, int most) {
  return (int)lrintf(ranged(c, control, (float)least, (float)most));
}

void way_controls_read(WayControls* c, WaySettings* s, WayMarkSettings* marks) {
  for (unsigned i = 0; i < WAY_CONTROL_COUNT; ++i)
    memcpy(&c->seen[i], c->ports[i], sizeof(c->seen[i]));
  *s = way_settings_default();
  s->enabled = ranged(c, WAY_CONTROL_ENABLED, 0, 1) > 0;
  s->handling = (WayHandling)whole(c, WAY_CONTROL_HANDLING, 0, WAY_HANDLING_COUNT - 1);
  s->material = (WayMaterial)whole(c, WAY_CONTROL_MATERIAL, 0, WAY_MATERIAL_COUNT - 1);
  s->snap = (WaySnap)whole(c, WAY_CONTROL_SNAP, 0, WAY_SNAP_COUNT - 1);
  s->held = (WayHeld)whole(c, WAY_CONTROL_HELD, 0, WAY_HELD_COUNT - 1);
  s->source = (WaySource)whole(c, WAY_CONTROL_SOURCE, 0, WAY_SOURCE_COUNT - 1);
  s->early = (double)ranged(c, WAY_CONTROL_EARLY, 0, 4);
  s->melody_channel = (uint8_t)whole(c, WAY_CONTROL_MELODY_CHANNEL, 0, 16);
  s->chord_channel = (uint8_t)whole(c, WAY_CONTROL_CHORD_CHANNEL, 1, 16);
  s->split_key = (uint8_t)whole(c, WAY_CONTROL_SPLIT_KEY, 0, 127);
  s->tag_channel = (uint8_t)whole(c, WAY_CONTROL_TAG_CHANNEL, 0, 14);
  s->start_bar = whole(c, WAY_CONTROL_START_BAR, 1, START_BAR_MAX);
  marks->mark_channel = (uint8_t)(whole(c, WAY_CONTROL_MARK_CHANNEL, 1, 16) - 1);
  marks->marks_on_out = whole(c, WAY_CONTROL_MARKS_ON_OUT, 0, 1) != 0;
}
