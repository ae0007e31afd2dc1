#include "urids.h"

#include "ports.h"

#include <lv2/atom/atom.h>
#include <lv2/midi/midi.h>
#include <lv2/patch/patch.h>
#include <lv2/time/time.h>

#include <stddef.h>

/// Where the number of a name goes.
typedef struct {
  const char* uri;
  size_t field;
} Name;

#define FIELD(name) offsetof(WayUrids, name)
#define VOCAB(name)                                                                    \
  { WAY_VOCAB_URI #name, FIELD(name) }

static const Name names[] = {
    {LV2_ATOM__Blank, FIELD(atom_Blank)},
    {LV2_ATOM__Bool, FIELD(atom_Bool)},
    {LV2_ATOM__Double, FIELD(atom_Double)},
    {LV2_ATOM__Float, FIELD(atom_Float)},
    {LV2_ATOM__Int, FIELD(atom_Int)},
    {LV2_ATOM__Long, FIELD(atom_Long)},
    {LV2_ATOM__Object, FIELD(atom_Object)},
    {LV2_ATOM__Path, FIELD(atom_Path)},
    {LV2_ATOM__Sequence, FIELD(atom_Sequence)},
    {LV2_ATOM__String, FIELD(atom_String)},
    {LV2_ATOM__URID, FIELD(atom_URID)},
    {LV2_ATOM__Vector, FIELD(atom_Vector)},
    {LV2_MIDI__MidiEvent, FIELD(midi_MidiEvent)},
    {LV2_PATCH__Get, FIELD(patch_Get)},
    {LV2_PATCH__Put, FIELD(patch_Put)},
    {LV2_PATCH__Set, FIELD(patch_Set)},
    {LV2_PATCH__body, FIELD(patch_body)},
    {LV2_PATCH__property, FIELD(patch_property)},
    {LV2_PATCH__subject, FIELD(patch_subject)},
    {LV2_PATCH__value, FIELD(patch_value)},
    {LV2_TIME__Position, FIELD(time_Position)},
    {LV2_TIME__bar, FIELD(time_bar)},
    {LV2_TIME__barBeat, FIELD(time_barBeat)},
    {LV2_TIME__beat, FIELD(time_beat)},
    {LV2_TIME__beatUnit, FIELD(time_beatUnit)},
    {LV2_TIME__beatsPerBar, FIELD(time_beatsPerBar)},
    {LV2_TIME__beatsPerMinute, FIELD(time_beatsPerMinute)},
    {LV2_TIME__frame, FIELD(time_frame)},
    {LV2_TIME__speed, FIELD(time_speed)},
    {WAY_GUIDE_URI, FIELD(guide)},
    {WAY_CHART_FILE_URI, FIELD(chart_file)},
    {WAY_CHART_TEXT_URI, FIELD(chart_text)},
    {WAY_CHART_MESSAGE_URI, FIELD(chart_message)},
    {WAY_SCREEN_URI, FIELD(screen)},
    {WAY_STATE_VERSION_URI, FIELD(state_version)},
    VOCAB(Role),
    VOCAB(Landing),
    VOCAB(Change),
    VOCAB(Top),
    VOCAB(Resolution),
    VOCAB(tick),
    VOCAB(chorus),
    VOCAB(bar),
    VOCAB(root),
    VOCAB(rootLetter),
    VOCAB(tones),
    VOCAB(Screen),
    VOCAB(speed),
    VOCAB(chordFrom),
    VOCAB(chord),
    VOCAB(key),
    VOCAB(tagsRefused),
    VOCAB(notes),
    VOCAB(pitch),
    VOCAB(again),
    VOCAB(early),
    VOCAB(role),
    VOCAB(interval),
    VOCAB(degree),
    VOCAB(landing),
    VOCAB(heldOver),
    {WAY_LOOK_URI, FIELD(look)},
    VOCAB(Learned),
    {WAY_LEARNED_URI, FIELD(learned)},
    {WAY_LEARNED_FROM_URI, FIELD(learned_from)},
};

_Static_assert(sizeof(names) / sizeof(names[0]) * sizeof(LV2_URID) == sizeof(WayUrids),
               "one row a field");

void way_urids_init(WayUrids* urids, const LV2_URID_Map* map) {
  for (size_t i = 0; i < sizeof(names) / sizeof(names[0]); ++i) {
    LV2_URID* const field = (LV2_URID*)(void*)((char*)urids + names[i].field);
    *field = map->map(map->handle, names[i].uri);
  }
}
