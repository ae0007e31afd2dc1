// Everything a player can choose on the screen: one row each.
#ifndef WAY_UI_CHOICE_H
#define WAY_UI_CHOICE_H

#include "../ports.h"
#include "base/text.h"
#include "draw/screen.h"
#include "draw/sheet_stage.h"

/// The choices.
typedef enum {
  WAY_CHOICE_STAGE, ///< Follows from the others: #WAY_STAGE_OWN, or 1 to #WAY_STAGES
  WAY_CHOICE_HANDLING,
  WAY_CHOICE_MATERIAL,
  WAY_CHOICE_SOURCE,
  WAY_CHOICE_EARLY,
  WAY_CHOICE_CLICK,
  WAY_CHOICE_INSTRUMENT,
  WAY_CHOICE_FRETS,
  WAY_CHOICE_VIEW,
  WAY_CHOICE_SNAP,
  WAY_CHOICE_HELD,
  WAY_CHOICE_TAGS,
  WAY_CHOICE_CLICK_LEAD,
  WAY_CHOICE_ENABLED,
  WAY_CHOICE_THEME,
  WAY_CHOICE_SIGNS,
  WAY_CHOICE_CAPO,
  WAY_CHOICE_HAND,
  WAY_CHOICE_OCTAVE,
  WAY_CHOICE_STRINGS,
  WAY_CHOICE_COUNT,
} WayChoiceId;

/// Those that stand at the lower edge of the screen: the first of the list.
#define WAY_CHOICES_SHOWN ((unsigned)WAY_CHOICE_SNAP)
/// Control of a choice that is none of the guide's.
#define WAY_CHOICE_OF_LOOK WAY_CONTROL_COUNT
/// Control of the stage: it is several of the guide's (way_choice_in_stage()).
#define WAY_CHOICE_OF_STAGE (WAY_CONTROL_COUNT + 1u)
/// The stage of settings that are those of no stage: shown, but not to be chosen.
#define WAY_STAGE_OWN 0
/// Value of #WAY_CHOICE_FRETS that stands for the best hand position; below it all
/// frets, above it a position each, from the nut on.
#define WAY_FRETS_HAND 1
/// Room for a value as text.
#define WAY_CHOICE_TEXT_MAX 24u

/// One choice.
typedef struct {
  const char* label; ///< As on the screen
  const char* help;  ///< In a few words
  char key;          ///< Lower case: the next value; upper case: the one before
  unsigned control;  ///< A #WayControl, #WAY_CHOICE_OF_LOOK or #WAY_CHOICE_OF_STAGE
  float least, most, step;
  float start;              ///< At first
  const char* const* names; ///< Of the values from 0; NULL for numbers
} WayChoice;

/// A choice by its id.  A static value.
const WayChoice* way_choice(WayChoiceId id);
/// The choice with a key of either case; #WAY_CHOICE_COUNT if there is none.
WayChoiceId way_choice_by_key(uint32_t key);
/// The choice that is this control; #WAY_CHOICE_COUNT if none is.
WayChoiceId way_choice_by_control(unsigned control);
/// The value `steps` further; names and stages go round, numbers end at both ends.
/// From #WAY_STAGE_OWN the first step goes to the first stage, or back to the last.
float way_choice_moved(WayChoiceId id, float value, int steps);
/// The value brought into its range and onto its steps.
float way_choice_clamped(WayChoiceId id, float value);
/// Write a value as it stands on the screen.
void way_choice_write(WayChoiceId id, float value, WayOut* out);
/// What a stage of practice (0..#WAY_STAGES - 1) sets a choice to, as its preset does;
/// `now` for one that it leaves alone.
float way_choice_of_stage(unsigned stage, WayChoiceId id, float now);
/// Whether stages set a choice.
bool way_choice_in_stage(WayChoiceId id);
/// The stage (from 1) whose settings these are; #WAY_STAGE_OWN if there is none.
float way_choice_stage(const float values[WAY_CHOICE_COUNT]);
/// Let the look follow the values of all choices.  The best hand position is shown as
/// all frets: it is for who knows the chart (way_screen_hand()).
void way_choice_look(const float values[WAY_CHOICE_COUNT], WayScreenLook* look);
/// Write those choices that are of the look: `frets: hand; view: stage; ...`.
void way_choice_write_look(const float values[WAY_CHOICE_COUNT], WayOut* out);
/// Read such a text: what is not known in it, or missing, leaves its value.
void way_choice_read_look(WayText text, float values[WAY_CHOICE_COUNT]);

#endif
