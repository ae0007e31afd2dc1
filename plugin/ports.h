// The ports of the guide: index and symbol live in users' sessions, so append, never
// reorder.  ttl/waymark.ttl says the same to hosts; tests/plugin/test_ports.c compares.
#ifndef WAY_PLUGIN_PORTS_H
#define WAY_PLUGIN_PORTS_H

#include <stdint.h>

#define WAY_GUIDE_URI "urn:waymark:guide"

/// Every port by index: EVENTS(NAME, symbol), CONTROL(NAME, symbol) for what the player
/// sets, READOUT(NAME, symbol) for what the guide shows.
#define WAY_PORTS(EVENTS, CONTROL, READOUT)                                            \
  EVENTS(MELODY, "melody")                                                             \
  EVENTS(CHORDS, "chords")                                                             \
  EVENTS(OUT, "out")                                                                   \
  EVENTS(MARKS, "marks")                                                               \
  CONTROL(ENABLED, "enabled")                                                          \
  CONTROL(HANDLING, "handling")                                                        \
  CONTROL(MATERIAL, "material")                                                        \
  CONTROL(SNAP, "snap")                                                                \
  CONTROL(HELD, "held")                                                                \
  CONTROL(SOURCE, "source")                                                            \
  CONTROL(EARLY, "early")                                                              \
  CONTROL(MELODY_CHANNEL, "melody_channel")                                            \
  CONTROL(CHORD_CHANNEL, "chord_channel")                                              \
  CONTROL(SPLIT_KEY, "split_key")                                                      \
  CONTROL(TAG_CHANNEL, "tag_channel")                                                  \
  CONTROL(START_BAR, "start_bar")                                                      \
  CONTROL(MARK_CHANNEL, "mark_channel")                                                \
  CONTROL(MARKS_ON_OUT, "marks_on_out")                                                \
  READOUT(CHORD_ROOT, "chord_root")                                                    \
  READOUT(CHORD_KIND, "chord_kind")                                                    \
  READOUT(NEXT_ROOT, "next_root")                                                      \
  READOUT(NEXT_KIND, "next_kind")                                                      \
  READOUT(BEATS_TO_CHANGE, "beats_to_change")                                          \
  READOUT(CHORUS, "chorus")                                                            \
  READOUT(BAR, "bar")                                                                  \
  READOUT(BEAT, "beat")                                                                \
  READOUT(ROLE, "role")                                                                \
  READOUT(INTERVAL, "interval")                                                        \
  READOUT(LANDING, "landing")                                                          \
  CONTROL(MAX_DISTANCE, "max_distance")                                                \
  CONTROL(SOFTEN_TO, "soften_to")                                                      \
  CONTROL(BEND_RANGE, "bend_range")                                                    \
  CONTROL(STRINGS, "strings")                                                          \
  CONTROL(RANGE_LOW, "range_low")                                                      \
  CONTROL(RANGE_HIGH, "range_high")                                                    \
  CONTROL(STRUM, "strum")                                                              \
  CONTROL(CHORD_STAYS, "chord_stays")                                                  \
  CONTROL(GRACE, "grace")                                                              \
  CONTROL(CLICK, "click")                                                              \
  CONTROL(CLICK_LEAD, "click_lead")                                                    \
  CONTROL(CLICK_CHANNEL, "click_channel")                                              \
  CONTROL(CLICK_VELOCITY, "click_velocity")                                            \
  CONTROL(CLICK_LENGTH, "click_length")                                                \
  CONTROL(SCOPE, "scope")                                                              \
  CONTROL(APPROACH, "approach")                                                        \
  CONTROL(LEARN, "learn")                                                              \
  CONTROL(KEEP, "keep")                                                                \
  READOUT(TAGS_REFUSED, "tags_refused")                                                \
  CONTROL(MARKS_AS_TEXT, "marks_as_text")

#define WAY_PORTS_NONE(name, symbol)

/// Indices of all ports.
typedef enum {
#define WAY_PORTS_INDEX(name, symbol) WAY_PORT_##name,
  WAY_PORTS(WAY_PORTS_INDEX, WAY_PORTS_INDEX, WAY_PORTS_INDEX)
#undef WAY_PORTS_INDEX
      WAY_PORT_COUNT,
} WayPort;

/// What the player sets, numbered from 0.
typedef enum {
#define WAY_PORTS_CONTROL(name, symbol) WAY_CONTROL_##name,
  WAY_PORTS(WAY_PORTS_NONE, WAY_PORTS_CONTROL, WAY_PORTS_NONE)
#undef WAY_PORTS_CONTROL
      WAY_CONTROL_COUNT,
} WayControl;

/// What the guide shows, numbered from 0.
typedef enum {
#define WAY_PORTS_READOUT(name, symbol) WAY_READOUT_##name,
  WAY_PORTS(WAY_PORTS_NONE, WAY_PORTS_NONE, WAY_PORTS_READOUT)
#undef WAY_PORTS_READOUT
      WAY_READOUT_COUNT,
} WayReadoutPort;

#endif
