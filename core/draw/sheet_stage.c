#include "draw/sheet_stage.h"

static const WayStage stages[WAY_STAGES] = {
    {"1 Five notes all the way",
     "Play the five notes of the tune's pentatonic and nothing else. Listen to how one "
     "and the same note rests over one chord and leans over the next.",
     WAY_MATERIAL_PENTATONIC},
    {"2 One blue note",
     "The same five notes and the blue one between two of them. Listen to how long it "
     "can lean before it wants to move on.",
     WAY_MATERIAL_BLUES},
    {"3 The bare triad",
     "Only root, third and fifth of the chord sound; other keys stay silent. Listen to "
     "the chords walk by in a single line.",
     WAY_MATERIAL_TRIAD},
    {"4 Thirds and sevenths",
     "Look for the third and the seventh of each chord. Listen to how little they move "
     "from one chord to the next.",
     WAY_MATERIAL_SEVENTH},
    {"5 Turn with the chord",
     "A held note ends where the new chord does not have it. Listen to the moment the "
     "harmony turns.",
     WAY_MATERIAL_CHORD_SCALE},
    {"6 Half a beat ahead",
     "Notes in the last half beat already belong to the next chord. Listen to how a "
     "line pulls when it gets there first.",
     WAY_MATERIAL_CHORD_SCALE},
    {"7 Touch and return",
     "Touch a note outside the scale and step back into the chord. Listen to the "
     "tension, and to where it lets go.",
     WAY_MATERIAL_CHORD_SCALE},
    {"8 Free, with a landing",
     "Anything goes between the changes; choose the note that sounds as each chord "
     "arrives. Listen to the landings alone.",
     WAY_MATERIAL_ALL},
};

const WayStage* way_stage(unsigned index) { return &stages[index]; }

bool way_stage_by_chord(const WayStage* stage) {
  return stage->material != WAY_MATERIAL_PENTATONIC &&
         stage->material != WAY_MATERIAL_BLUES;
}
