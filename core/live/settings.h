// What a player can choose about the live guide.
#ifndef WAY_LIVE_SETTINGS_H
#define WAY_LIVE_SETTINGS_H

#include "theory/material.h"
#include "time/beat.h"

/// What the guide does with a note outside the material.
typedef enum {
  WAY_HANDLING_TAG,    ///< Let it pass and mark it
  WAY_HANDLING_FILTER, ///< Leave it out
  WAY_HANDLING_SNAP,   ///< Move it to the material
  WAY_HANDLING_SOFTEN, ///< Play it softer
  WAY_HANDLING_COUNT,
} WayHandling;

/// Which way snapped notes move.
typedef enum {
  WAY_SNAP_NEAREST, ///< The nearer side; ties go the way the line moves
  WAY_SNAP_UP,
  WAY_SNAP_DOWN,
  WAY_SNAP_COUNT,
} WaySnap;

/// What happens at a change of chord to a held note that is outside the new material.
typedef enum {
  WAY_HELD_KEEP,    ///< Nothing: it rings on
  WAY_HELD_RELEASE, ///< It is ended at the change
  WAY_HELD_MOVE,    ///< It is ended and begun again on the nearest note of the material
  WAY_HELD_COUNT,
} WayHeld;

/// Where the chords come from.
typedef enum {
  WAY_SOURCE_AUTO,    ///< The chord track while it sounds, else the chart
  WAY_SOURCE_CHART,   ///< The chart, by the host's transport
  WAY_SOURCE_TRACK,   ///< Notes on the chord track input
  WAY_SOURCE_CHANNEL, ///< Notes of the chord channel on the melody input
  WAY_SOURCE_HELD,    ///< Notes held below the split key on the melody input
  WAY_SOURCE_COUNT,
} WaySource;

/// Which notes are filtered, softened or snapped; the others are only marked.
typedef enum {
  WAY_SCOPE_EVERY,    ///< Every note
  WAY_SCOPE_BEATS,    ///< Those that begin on a beat
  WAY_SCOPE_STRONG,   ///< Those that begin on a strong beat, see way_metre_strong()
  WAY_SCOPE_LANDINGS, ///< Landings
  WAY_SCOPE_COUNT,
} WayScope;

/// When the guide-tone click sounds.
typedef enum {
  WAY_CLICK_AT_OFF,
  WAY_CLICK_AT_CHANGES, ///< As another chord arrives
  WAY_CLICK_AT_BARS,    ///< On the first beat of every bar
  WAY_CLICK_AT_BEATS,   ///< On every beat
  WAY_CLICK_AT_COUNT,
} WayClickAt;

/// Longest early window, in beats.
#define WAY_EARLY_MAX 4.0
/// Last bar a form can begin in.
#define WAY_START_BAR_MAX 10000
/// Highest channel that chord tones can be tagged with: two more follow it.
#define WAY_TAG_CHANNEL_MAX 14u

/// Every setting of the engine.  A value; way_settings_default() gives the defaults.
typedef struct {
  bool enabled; ///< Off: notes pass unchanged, nothing is marked
  WayHandling handling;
  WayMaterial material;
  WaySnap snap;
  WayHeld held;
  WaySource source;
  double early;           ///< Early window in beats, 0..#WAY_EARLY_MAX
  uint8_t melody_channel; ///< 1..16, or 0 for all
  uint8_t chord_channel;  ///< 1..16; with #WAY_SOURCE_CHANNEL its notes are no melody
  uint8_t split_key;      ///< Melody-channel keys below it hold chords, with
                          ///< #WAY_SOURCE_HELD; 0..127
  uint8_t tag_channel; ///< 0 leaves channels alone; n sends chord tones on channel n,
                       ///< scale tones on n + 1 and chromatic notes on n + 2
                       ///< (1..#WAY_TAG_CHANNEL_MAX)
  int32_t start_bar;   ///< Bar of the song where the form begins, from 1
  double bend_range;   ///< Semitones a whole pitch bend reaches, 0..96, until the
                       ///< player's own instrument says otherwise (RPN 0)
  bool strings;        ///< Each channel is a string or a finger with a bend of its own
  uint16_t strum;      ///< Chord keys struck this close together are read as one chord,
                       ///< once they have been; in ms, 0..500; 0 reads at once
  double chord_stays;  ///< Seconds a heard chord stays after its last key, 0..60; 0:
                       ///< until the next one
  uint16_t grace; ///< A heard chord also counts for notes begun this long before it;
                  ///< in ms, 0..1000
  WayClickAt click;
  uint8_t click_lead;     ///< Beats before a change that click already, 0..8
  uint8_t click_channel;  ///< 1..16
  uint8_t click_velocity; ///< 1..127
  uint16_t click_length;  ///< In ms, 10..2000
  uint8_t soften_to;      ///< Per cent of its velocity a softened note keeps, 1..100
  uint8_t max_distance;   ///< Farthest a note is snapped, in semitones, 1..11; a note
                          ///< farther off is only marked
  WayScope scope;
  double approach;    ///< Beats an outside note may wait for a step into the material
                      ///< before it is handled, 0..4
  uint8_t range_low;  ///< Lowest and
  uint8_t range_high; ///< highest key of the melody, 0..127; others pass
  bool learn;         ///< Learn the form from heard chords where there is no chart
  bool keep;          ///< Keep the form: what was heard when it was turned on
} WaySettings;

/// Every setting, by its name: what a control, an option or a preset sets.
typedef enum {
  WAY_SETTING_ENABLED,
  WAY_SETTING_HANDLING,
  WAY_SETTING_MATERIAL,
  WAY_SETTING_SNAP,
  WAY_SETTING_HELD,
  WAY_SETTING_SOURCE,
  WAY_SETTING_EARLY,
  WAY_SETTING_MELODY_CHANNEL,
  WAY_SETTING_CHORD_CHANNEL,
  WAY_SETTING_SPLIT_KEY,
  WAY_SETTING_TAG_CHANNEL,
  WAY_SETTING_START_BAR,
  WAY_SETTING_BEND_RANGE,
  WAY_SETTING_STRINGS,
  WAY_SETTING_STRUM,
  WAY_SETTING_CHORD_STAYS,
  WAY_SETTING_GRACE,
  WAY_SETTING_CLICK,
  WAY_SETTING_CLICK_LEAD,
  WAY_SETTING_CLICK_CHANNEL,
  WAY_SETTING_CLICK_VELOCITY,
  WAY_SETTING_CLICK_LENGTH,
  WAY_SETTING_SOFTEN_TO,
  WAY_SETTING_MAX_DISTANCE,
  WAY_SETTING_SCOPE,
  WAY_SETTING_APPROACH,
  WAY_SETTING_RANGE_LOW,
  WAY_SETTING_RANGE_HIGH,
  WAY_SETTING_LEARN,
  WAY_SETTING_KEEP,
  WAY_SETTING_COUNT,
} WaySetting;

/// What there is to know of one setting.
typedef struct {
  const char* symbol;            ///< As a port's symbol; with `-` for `_`, as an option
  double least, most;            ///< Its range
  double standard;               ///< Its default
  bool whole;                    ///< Only whole numbers
  const char* (*name)(unsigned); ///< Names of its values; NULL for plain numbers
} WaySettingRow;

/// All settings, by #WaySetting.  @par Real-time safe.
extern const WaySettingRow way_setting_rows[WAY_SETTING_COUNT];
/// A setting as a number.  @par Real-time safe.
WAY_RT double way_settings_get(const WaySettings* s, WaySetting which);
/// Give a setting the number in its range nearest to `value`; NAN is its default.
/// @par Real-time safe.
WAY_RT void way_settings_put(WaySettings* s, WaySetting which, double value);

/// The defaults: tag, chord scale, chart or chord track as they come.
/// @par Real-time safe.
WAY_RT WaySettings way_settings_default(void);
/// `s` with every value brought into its range; a number that is none becomes its
/// default.  @par Real-time safe.
WAY_RT WaySettings way_settings_clamped(const WaySettings* s);
/// Names as used on the command line, in presets and on screen; static strings, "" out
/// of range.  @par Real-time safe.
WAY_RT const char* way_handling_name(unsigned v);
WAY_RT const char* way_snap_name(unsigned v);
WAY_RT const char* way_held_name(unsigned v);
WAY_RT const char* way_source_name(unsigned v);
WAY_RT const char* way_scope_name(unsigned v);
WAY_RT const char* way_click_at_name(unsigned v);
WAY_RT const char* way_learn_name(unsigned v);

#endif
