// The screen to play by: what it shows, and where.  Pure geometry; screen_paint.h
// paints.
//
// It answers, in this order: which chord is this; what comes next and when; where in
// the form are we; where are its tones under my hand; what did I just play.
#ifndef WAY_DRAW_SCREEN_H
#define WAY_DRAW_SCREEN_H

#include "draw/fretboard.h"
#include "draw/keyboard.h"
#include "draw/panel.h"
#include "draw/ribbon_paint.h"
#include "draw/shown.h"
#include "draw/theme.h"
#include "draw/trail.h"

/// How much is shown.
typedef enum {
  WAY_VIEW_FULL,  ///< Everything
  WAY_VIEW_STAGE, ///< Now, next and the instrument, large
  WAY_VIEW_COUNT,
} WayView;

/// `full` or `stage`.  A static string.
const char* way_view_name(WayView v);

/// How the screen looks: what a player chooses and a host does not need to know.
typedef struct {
  WayView view;
  WayThemeName theme;
  bool keyboard;       ///< Instead of the fretboard
  bool by_name;        ///< Signs say notes, not degrees
  WayFretboard frets;  ///< Tuning, capo, hand, window
  WayKeyboard keys;    ///< The keys shown
  double scale;        ///< Pixels a unit of size: 1, or the host's scale factor; 0 is 1
  unsigned trail_bars; ///< How far back the trail goes; 0 is 4
} WayScreenLook;

/// Light, full, a guitar.
WayScreenLook way_screen_look_default(void);

/// A setting that the screen names at its lower edge.
typedef struct {
  const char* label; ///< `material`
  const char* value; ///< `chord-scale`
} WayScreenItem;

/// No item, for `focus`.
#define WAY_SCREEN_NO_ITEM UINT32_MAX

/**
   All that the screen shows, as plain values.

   Every pointer is borrowed while it is laid out and painted.  Starts as `{0}`: a
   screen without a chart and without a chord.
*/
typedef struct {
  const char* title;           ///< Of the tune; NULL or "" for none
  const WayTimeline* timeline; ///< The form; NULL without a chart
  bool placed;                 ///< There is a place in the form: `tick`
  WayTick tick;                ///< From the top of the first chorus
  bool rolling;                ///< The transport rolls
  const WayDegree* targets;    ///< Of each span; NULL: only what the chart plans

  const WayHarmony* now;  ///< NULL if no chord is known
  const WayHarmony* next; ///< NULL if not known
  double until;           ///< Beats to the change; 0 if not known
  double lasts;           ///< Beats the chord now lasts in all; 0 if not known
  WayPanelPulse pulse;    ///< How those beats go together
  WayDegree target;       ///< To land on over `next`; number 0 for none

  WayMaterial material;        ///< What the instrument shows
  const WaySounding* sounding; ///< Notes that sound
  uint32_t n_sounding;
  const WayFretPlace* hand;  ///< Where it was last; NULL if not known
  const WayTrailNote* trail; ///< Notes played, in the order they began
  uint32_t n_trail;
  const WayLandingToken* landings; ///< Of this chorus
  uint32_t n_landings;

  const char* hint; ///< What to do where there is no chart, line by line; NULL for none

  const WayScreenItem* items; ///< Settings, from left to right
  uint32_t n_items;
  uint32_t focus;     ///< Index of the item that keys change, or #WAY_SCREEN_NO_ITEM
  const char* notice; ///< One line that matters more than the settings; NULL for none

  WayScreenLook look;
} WayScreenModel;

/**
   Take place, chords, the change and its target (from `targets`) from a form.

   Before the form (ticks below 0) no chord is known, and the first one is next.
   @param t    Borrowed as long as the model; NULL clears them.
   @param tick From the top of the first chorus.
*/
void way_screen_follow(WayScreenModel* m, const WayTimeline* t, WayTick tick);
/// Let the window of a board be the best hand position (way_position_best()) for a
/// material over a form: that of its loop's scale, so that it stays where it is.
void way_screen_hand(const WayTimeline* t, WayMaterial material, WayFretboard* board);
/// What the instrument shows: the material now (before the form that of the first
/// chord), the target's halo.
WayShown way_screen_shown(const WayScreenModel* m);

/// Parts of the screen that can be painted alone.
typedef enum {
  WAY_REGION_HEADER,     ///< Title, key, chorus and bar
  WAY_REGION_NOW,        ///< The chord now, with its tones
  WAY_REGION_NEXT,       ///< The chord next, and the way to it
  WAY_REGION_RIBBON,     ///< The form
  WAY_REGION_INSTRUMENT, ///< Fretboard or keyboard
  WAY_REGION_TRAIL,      ///< What was played
  WAY_REGION_ITEMS,      ///< Settings, or the notice
  WAY_REGION_COUNT,
} WayRegion;

/// Most rows of settings.
#define WAY_SCREEN_ITEM_ROWS 3u

/// Where everything stands.
typedef struct {
  double width, height;
  double unit;                   ///< Size of small letters
  WayBox box[WAY_REGION_COUNT];  ///< Width 0: not shown.  They share no area.
  WayBox body[WAY_REGION_COUNT]; ///< The part of each that its drawing takes
  WayRibbonLayout ribbon;        ///< If shown and there is a chart
  WayFretLayout frets;           ///< If shown and no keyboard
  WayKeyLayout keys;             ///< If shown and a keyboard
  WayTrailLayout trail;          ///< If shown
  unsigned item_rows;            ///< Rows that settings stand in
} WayScreenLayout;

/// Smallest and largest size that is laid out; others are brought into it.
#define WAY_SCREEN_LEAST 120.0
#define WAY_SCREEN_MOST 16384.0

/// Lay out a model for a surface of `width` by `height` pixels.
WayScreenLayout way_screen_layout(const WayScreenModel* m, double width, double height);
/// The region at a point; #WAY_REGION_COUNT if there is none.
WayRegion way_screen_region_at(const WayScreenLayout* l, double x, double y);
/// The unit settings stand by: smaller than the screen's where their words are more
/// than their rows hold.
double way_screen_items_unit(const WayScreenLayout* l, const WayScreenModel* m);
/// The box of a setting (0..n_items-1); as wide as its words ask for.
WayBox way_screen_item_box(const WayScreenLayout* l, const WayScreenModel* m,
                           uint32_t item);
/// The setting at a point; #WAY_SCREEN_NO_ITEM if there is none.
uint32_t way_screen_item_at(const WayScreenLayout* l, const WayScreenModel* m, double x,
                            double y);

/**
   A number for each region that changes when, and only when, something does that the
   region shows: compare with the numbers of the last frame, and paint the regions whose
   number is another.  What moves changes them only when it has moved by a pixel.
*/
void way_screen_stamps(const WayScreenModel* m, const WayScreenLayout* l,
                       uint64_t stamps[WAY_REGION_COUNT]);

#endif
