#include "controls.h"

#include <math.h>

static const char* const symbols[WAY_CONTROL_COUNT] = {
#define CONTROL_SYMBOL(name, symbol) [WAY_CONTROL_##name] = (symbol),
    WAY_PORTS(WAY_PORTS_NONE, CONTROL_SYMBOL, WAY_PORTS_NONE)
#undef CONTROL_SYMBOL
};

/// The setting that a control sets: its namesake.
static unsigned setting_of(unsigned control) {
  unsigned i = 0;
  while (i < WAY_SETTING_COUNT && strcmp(way_setting_rows[i].symbol, symbols[control]))
    ++i;
  return i;
}

void way_controls_init(WayControls* c) {
  for (unsigned i = 0; i < WAY_CONTROL_COUNT; ++i) {
    const unsigned setting = setting_of(i);
    c->settings[i] = (uint8_t)setting;
    c->defaults[i] =
        setting < WAY_SETTING_COUNT ? (float)way_setting_rows[setting].standard : 0;
    c->ports[i] = &c->defaults[i];
  }
  c->defaults[WAY_CONTROL_MARK_CHANNEL] = 16;
  memset(c->seen, 0xFF, sizeof(c->seen)); // a NAN no port begins with
  c->first = c->defaults;
  c->second = c->defaults + WAY_CONTROL_FIRST;
}

/// Where controls `from` to `end` lie side by side; NULL if they do not.
static const float* side_by_side(const WayControls* c, unsigned from, unsigned end) {
  for (unsigned i = from; i < end; ++i)
    if ((uintptr_t)c->ports[i] !=
        (uintptr_t)c->ports[from] + (i - from) * sizeof(float))
      return NULL;
  return c->ports[from];
}

void way_controls_connect(WayControls* c, unsigned control, const float* at) {
  c->ports[control] = at ? at : &c->defaults[control];
  c->first = side_by_side(c, 0, WAY_CONTROL_FIRST);
  c->second = side_by_side(c, WAY_CONTROL_FIRST, WAY_CONTROL_SECOND);
}

/// The nearest whole number in least..most.
static int whole(const WayControls* c, unsigned control, float least, float most) {
  float value;
  memcpy(&value, &c->seen[control], sizeof(value));
  if (isnan(value)) value = c->defaults[control];
  return (int)lrintf(value < least ? least : value > most ? most : value);
}

/// Set a setting; of a switch any value above 0 is on (lv2:toggled).
static void put(WaySettings* s, WaySetting which, float value) {
  const WaySettingRow* const row = &way_setting_rows[which];
  const bool is_switch = row->whole && row->most - row->least < 2;
  way_settings_put(s, which, is_switch && value > 0 ? row->most : (double)value);
}

void way_controls_read(WayControls* c, WaySettings* s, WayMarkSettings* marks) {
  *s = way_settings_default();
  for (unsigned i = 0; i < WAY_CONTROL_COUNT; ++i) {
    const float value = *c->ports[i];
    memcpy(&c->seen[i], &value, sizeof(value));
    if (c->settings[i] < WAY_SETTING_COUNT) put(s, (WaySetting)c->settings[i], value);
  }
  marks->mark_channel = (uint8_t)(whole(c, WAY_CONTROL_MARK_CHANNEL, 1, 16) - 1);
  marks->marks_on_out = *c->ports[WAY_CONTROL_MARKS_ON_OUT] > 0;
  marks->marks_as_text = *c->ports[WAY_CONTROL_MARKS_AS_TEXT] > 0;
}
