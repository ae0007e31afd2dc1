#include "live/settings.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#define DEFINE_NAME(function, ...)                                                     \
  const char* function(unsigned v) {                                                   \
    static const char* const names[] = {__VA_ARGS__};                                  \
    return v < WAY_COUNT(names) ? names[v] : "";                                       \
  }
DEFINE_NAME(way_handling_name, "tag", "filter", "snap", "soften")
DEFINE_NAME(way_snap_name, "nearest", "up", "down")
DEFINE_NAME(way_held_name, "keep", "release", "move")
DEFINE_NAME(way_source_name, "auto", "chart", "track", "channel", "held")
DEFINE_NAME(way_scope_name, "every", "beats", "strong", "landings")
DEFINE_NAME(way_click_at_name, "off", "changes", "bars", "beats")
DEFINE_NAME(way_learn_name, "off", "on")

static const char* material_name(unsigned v) {
  return way_material_name((WayMaterial)v);
}

// A row of the table of settings: a choice by name, a switch, a whole number, a number.
#define NAMED(count, standard, name) 0, (count)-1, standard, true, name
#define SWITCH(standard) 0, 1, standard, true, NULL
#define WHOLE(least, most, standard) least, most, standard, true, NULL
#define NUMBER(least, most, standard) least, most, standard, false, NULL

const WaySettingRow way_setting_rows[WAY_SETTING_COUNT] = {
    [WAY_SETTING_ENABLED] = {"enabled", SWITCH(1)},
    [WAY_SETTING_HANDLING] = {"handling", NAMED(WAY_HANDLING_COUNT, WAY_HANDLING_TAG,
                                                way_handling_name)},
    [WAY_SETTING_MATERIAL] = {"material",
                              NAMED(WAY_MATERIAL_COUNT, WAY_MATERIAL_CHORD_SCALE,
                                    material_name)},
    [WAY_SETTING_SNAP] = {"snap",
                          NAMED(WAY_SNAP_COUNT, WAY_SNAP_NEAREST, way_snap_name)},
    [WAY_SETTING_HELD] = {"held", NAMED(WAY_HELD_COUNT, WAY_HELD_KEEP, way_held_name)},
    [WAY_SETTING_SOURCE] = {"source",
                            NAMED(WAY_SOURCE_COUNT, WAY_SOURCE_AUTO, way_source_name)},
    [WAY_SETTING_EARLY] = {"early", NUMBER(0, WAY_EARLY_MAX, 0)},
    [WAY_SETTING_MELODY_CHANNEL] = {"melody_channel", WHOLE(0, 16, 0)},
    [WAY_SETTING_CHORD_CHANNEL] = {"chord_channel", WHOLE(1, 16, 16)},
    [WAY_SETTING_SPLIT_KEY] = {"split_key", WHOLE(0, 127, 48)},
    [WAY_SETTING_TAG_CHANNEL] = {"tag_channel", WHOLE(0, WAY_TAG_CHANNEL_MAX, 0)},
    [WAY_SETTING_START_BAR] = {"start_bar", WHOLE(1, WAY_START_BAR_MAX, 1)},
    [WAY_SETTING_BEND_RANGE] = {"bend_range", NUMBER(0, 96, 2)},
    [WAY_SETTING_STRINGS] = {"strings", SWITCH(0)},
    [WAY_SETTING_STRUM] = {"strum", WHOLE(0, 500, 0)},
    [WAY_SETTING_CHORD_STAYS] = {"chord_stays", NUMBER(0, 60, 0)},
    [WAY_SETTING_GRACE] = {"grace", WHOLE(0, 1000, 0)},
    [WAY_SETTING_CLICK] = {"click", NAMED(WAY_CLICK_AT_COUNT, WAY_CLICK_AT_OFF,
                                          way_click_at_name)},
    [WAY_SETTING_CLICK_LEAD] = {"click_lead", WHOLE(0, 8, 0)},
    [WAY_SETTING_CLICK_CHANNEL] = {"click_channel", WHOLE(1, 16, 15)},
    [WAY_SETTING_CLICK_VELOCITY] = {"click_velocity", WHOLE(1, 127, 40)},
    [WAY_SETTING_CLICK_LENGTH] = {"click_length", WHOLE(10, 2000, 100)},
    [WAY_SETTING_SOFTEN_TO] = {"soften_to", WHOLE(1, 100, 40)},
    [WAY_SETTING_MAX_DISTANCE] = {"max_distance", WHOLE(1, 11, 11)},
    [WAY_SETTING_SCOPE] = {"scope",
                           NAMED(WAY_SCOPE_COUNT, WAY_SCOPE_EVERY, way_scope_name)},
    [WAY_SETTING_APPROACH] = {"approach", NUMBER(0, 4, 0)},
    [WAY_SETTING_RANGE_LOW] = {"range_low", WHOLE(0, 127, 0)},
    [WAY_SETTING_RANGE_HIGH] = {"range_high", WHOLE(0, 127, 127)},
    [WAY_SETTING_LEARN] = {"learn", NAMED(2, 1, way_learn_name)},
    [WAY_SETTING_KEEP] = {"keep", SWITCH(0)},
};

/// Where a setting lies, and as what: a whole number of 1, 2 or 4 bytes, or a double.
typedef struct {
  size_t offset, size;
} Field;

#define FIELD(name)                                                                    \
  { offsetof(WaySettings, name), sizeof(((WaySettings*)NULL)->name) }
static const Field fields[WAY_SETTING_COUNT] = {
    [WAY_SETTING_ENABLED] = FIELD(enabled),
    [WAY_SETTING_HANDLING] = FIELD(handling),
    [WAY_SETTING_MATERIAL] = FIELD(material),
    [WAY_SETTING_SNAP] = FIELD(snap),
    [WAY_SETTING_HELD] = FIELD(held),
    [WAY_SETTING_SOURCE] = FIELD(source),
    [WAY_SETTING_EARLY] = FIELD(early),
    [WAY_SETTING_MELODY_CHANNEL] = FIELD(melody_channel),
    [WAY_SETTING_CHORD_CHANNEL] = FIELD(chord_channel),
    [WAY_SETTING_SPLIT_KEY] = FIELD(split_key),
    [WAY_SETTING_TAG_CHANNEL] = FIELD(tag_channel),
    [WAY_SETTING_START_BAR] = FIELD(start_bar),
    [WAY_SETTING_BEND_RANGE] = FIELD(bend_range),
    [WAY_SETTING_STRINGS] = FIELD(strings),
    [WAY_SETTING_STRUM] = FIELD(strum),
    [WAY_SETTING_CHORD_STAYS] = FIELD(chord_stays),
    [WAY_SETTING_GRACE] = FIELD(grace),
    [WAY_SETTING_CLICK] = FIELD(click),
    [WAY_SETTING_CLICK_LEAD] = FIELD(click_lead),
    [WAY_SETTING_CLICK_CHANNEL] = FIELD(click_channel),
    [WAY_SETTING_CLICK_VELOCITY] = FIELD(click_velocity),
    [WAY_SETTING_CLICK_LENGTH] = FIELD(click_length),
    [WAY_SETTING_SOFTEN_TO] = FIELD(soften_to),
    [WAY_SETTING_MAX_DISTANCE] = FIELD(max_distance),
    [WAY_SETTING_SCOPE] = FIELD(scope),
    [WAY_SETTING_APPROACH] = FIELD(approach),
    [WAY_SETTING_RANGE_LOW] = FIELD(range_low),
    [WAY_SETTING_RANGE_HIGH] = FIELD(range_high),
    [WAY_SETTING_LEARN] = FIELD(learn),
    [WAY_SETTING_KEEP] = FIELD(keep),
};

_Static_assert(sizeof(WayHandling) == sizeof(int32_t),
               "choices are numbers of 4 bytes");

double way_settings_get(const WaySettings* s, WaySetting which) {
  const uint8_t* const at = (const uint8_t*)s + fields[which].offset;
  union {
    uint8_t one;
    uint16_t two;
    int32_t four;
    double real;
  } v = {.real = 0};
  memcpy(&v, at, fields[which].size);
  switch (fields[which].size) {
  case 1: return v.one;
  case 2: return v.two;
  case 4: return v.four;
  default: return v.real;
  }
}

void way_settings_put(WaySettings* s, WaySetting which, double value) {
  const WaySettingRow* const row = &way_setting_rows[which];
  uint8_t* const at = (uint8_t*)s + fields[which].offset;
  double v = isnan(value) ? row->standard : fmin(fmax(value, row->least), row->most);
  if (row->whole) v = floor(v + 0.5);
  const int32_t four = (int32_t)v;
  const uint16_t two = (uint16_t)four;
  const uint8_t one = (uint8_t)four;
  switch (fields[which].size) {
  case 1: memcpy(at, &one, sizeof(one)); break;
  case 2: memcpy(at, &two, sizeof(two)); break;
  case 4: memcpy(at, &four, sizeof(four)); break;
  default: memcpy(at, &v, sizeof(v)); break;
  }
}

WaySettings way_settings_default(void) {
  WaySettings s = {0};
  for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i)
    way_settings_put(&s, (WaySetting)i, way_setting_rows[i].standard);
  return s;
}

WaySettings way_settings_clamped(const WaySettings* s) {
  WaySettings c = *s;
  for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i)
    way_settings_put(&c, (WaySetting)i, way_settings_get(s, (WaySetting)i));
  return c;
}
