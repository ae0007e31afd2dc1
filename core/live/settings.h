// What a player can choose about the live guide.
#ifndef WAY_LIVE_SETTINGS_H
#define WAY_LIVE_SETTINGS_H

#include "base/text.h"
#include "theory/material.h"
#include "time/beat.h"

/// What the guide does with a note outside the material.
typedef enum {
  WAY_HANDLING_TAG,    ///< Let it pass and mark it
  WAY_HANDLING_FILTER, ///< Leave it out
  WAY_HANDLING_SNAP,   ///< Move it to the material
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

/// Longest early window, in beats.
#define WAY_EARLY_MAX 4.0
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
} WaySettings;

/// The defaults: tag, chord scale, chart or chord track as they come.  @par Real-time
/// safe.
WAY_RT WaySettings way_settings_default(void);
/// `s` with every value brought into its range; a number that is none becomes its
/// default.  @par Real-time safe.
WAY_RT WaySettings way_settings_clamped(const WaySettings* s);
/// Names as used on the command line, in presets and on screen; static strings, and the
/// way back (the COUNT value if there is no such name).  @par Real-time safe.
WAY_RT const char* way_handling_name(WayHandling v);
WAY_RT WayHandling way_handling_find(WayText name);
WAY_RT const char* way_snap_name(WaySnap v);
WAY_RT WaySnap way_snap_find(WayText name);
WAY_RT const char* way_held_name(WayHeld v);
WAY_RT WayHeld way_held_find(WayText name);
WAY_RT const char* way_source_name(WaySource v);
WAY_RT WaySource way_source_find(WayText name);

#endif
