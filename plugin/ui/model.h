// What the window knows, and what it does with what a player does.  No X11, no cairo,
// no LV2 host: those are at its two ends.
#ifndef WAY_UI_MODEL_H
#define WAY_UI_MODEL_H

#include "choice.h"
#include "line.h"
#include "news.h"
#include "overlay.h"

#define WAY_MODEL_NOTES 256u    ///< Notes of the trail kept
#define WAY_MODEL_SOUNDING 32u  ///< Notes that sound, at most
#define WAY_MODEL_LANDINGS 512u ///< Of the last choruses
#define WAY_MODEL_UNDO 64u      ///< Steps that can be taken back
#define WAY_MODEL_LOOK_MAX 512u ///< Room for the look as text
#define WAY_MODEL_NOTICE 256u   ///< Room for one line, with its terminator

/// A text that the model sets.
typedef enum {
  WAY_MODEL_CHART, ///< The chart itself
  WAY_MODEL_FILE,  ///< The path of its file
  WAY_MODEL_LOOK,  ///< How the window looks
} WayModelText;

/// What the model asks its host to do; all of them may be called while it is changed.
typedef struct {
  void* to; ///< Handed to all functions
  /// Set a control of the guide.
  void (*set_control)(void* to, WayControl control, float value);
  /// A control is in the player's hand, or let go.
  void (*touch)(void* to, WayControl control, bool held);
  /// Set a text.
  void (*set_text)(void* to, WayModelText what, WayText text);
  /// Let the host ask for a file; false if it can't.
  bool (*ask_file)(void* to);
} WayModelHost;

/// A key, by Unicode, or one of these.
enum {
  WAY_KEY_LEFT = 0x110000,
  WAY_KEY_RIGHT,
  WAY_KEY_UP,
  WAY_KEY_DOWN,
  WAY_KEY_HOME,
  WAY_KEY_END,
  WAY_KEY_DELETE,
  WAY_KEY_BACKSPACE,
  WAY_KEY_ENTER,
  WAY_KEY_ESCAPE,
  WAY_KEY_TAB,
  WAY_KEY_HELP,
};

/// How a player does something.
typedef enum {
  WAY_INPUT_PRESS,
  WAY_INPUT_RELEASE,
  WAY_INPUT_MOVE,
  WAY_INPUT_WHEEL,
  WAY_INPUT_KEY,
  WAY_INPUT_PASTE,
  WAY_INPUT_COUNT,
} WayUiInputKind;

/// What a player does.
typedef struct {
  WayUiInputKind kind;
  double x, y;     ///< In pixels (all but keys and paste)
  unsigned button; ///< 1 left, 2 middle, 3 right (press, release)
  int wheel;       ///< Steps upward (wheel)
  uint32_t key;    ///< (key)
  bool shift, ctrl;
  WayText text; ///< Borrowed (paste)
} WayUiInput;

/// A landing with the chorus it belongs to.
typedef struct {
  int64_t chorus;
  WayLandingToken token;
} WayModelLanding;

/// A step that can be taken back.
typedef struct {
  WayChoiceId choice;             ///< #WAY_CHOICE_COUNT: the chart
  float values[WAY_CHOICE_COUNT]; ///< Before it, of all choices
  char* chart;                    ///< Likewise, owned
} WayModelStep;

/// The model.  Large: allocate it.  Fields are for reading.
typedef struct {
  WayModelHost host;
  WayScreenModel screen;  ///< What is shown, as of way_model_update()
  WayScreenLayout layout; ///< Where, likewise
  WayOver over;
  WayOverLayout over_layout;

  WayTimeline* timeline; ///< NULL without a chart
  char* chart;           ///< Its text, terminated; "" if there is none
  char* learned;         ///< That of the form learned, which stands in for a chart
  char title[WAY_NAME_MAX];
  WayNews place;      ///< The newest, without its records
  double heard_at;    ///< When it came, in seconds; negative if none came
  WayTick shown_tick; ///< Shown last
  WayHarmony heard;   ///< The chord, if it comes from notes

  WayTrailNote trail[WAY_MODEL_NOTES];
  uint32_t n_trail;
  WayFretPlace hand; ///< Where it was last
  WaySounding sounding[WAY_MODEL_SOUNDING];
  uint8_t channels[WAY_MODEL_SOUNDING]; ///< They were sent on
  uint32_t n_sounding;
  WayModelLanding landings[WAY_MODEL_LANDINGS];
  uint32_t n_landings;
  WayLandingToken shown_landings[WAY_MODEL_LANDINGS];

  float values[WAY_CHOICE_COUNT];
  char texts[WAY_CHOICES_SHOWN][WAY_CHOICE_TEXT_MAX];
  WayScreenItem items[WAY_CHOICES_SHOWN + 2]; ///< Behind them: all keys; tags refused
  uint32_t focus; ///< A #WayChoiceId that keys change, or #WAY_SCREEN_NO_ITEM
  char notice[WAY_MODEL_NOTICE];
  bool notice_new;    ///< It has not been shown yet
  double notice_till; ///< When it goes, in seconds

  WayModelStep undo[WAY_MODEL_UNDO];
  unsigned n_undo;
  WayLine line;
  WayError line_error;                 ///< Of the text typed, if it is a chart
  WayChoiceId drag;                    ///< In the player's hand, or #WAY_CHOICE_COUNT
  double drag_y;                       ///< Where it was taken
  float drag_values[WAY_CHOICE_COUNT]; ///< What all were
} WayModel;

/// A model that knows nothing yet; NULL if there is no memory.
WayModel* way_model_new(const WayModelHost* host);
/// Free it; NULL is fine.
void way_model_free(WayModel* m);
/// Use the host's scale factor, above 0.
void way_model_scale(WayModel* m, double scale);
/// Take in what the guide tells.  @param now In seconds of any clock.
void way_model_news(WayModel* m, const WayNews* news, double now);
/// The host says what a control is.
void way_model_control(WayModel* m, WayControl control, float value);
/// Do what a player asks for, by the layout shown last.
/// @return Whether that is something here; a key that is nothing may be the host's.
bool way_model_input(WayModel* m, const WayUiInput* in);
/// Whether what is shown changes by itself: the place moves, or a notice will go.
bool way_model_moves(const WayModel* m);
/// Bring `screen` and the layouts up to date for a size in pixels.
void way_model_update(WayModel* m, double width, double height, double now);

#endif
