// The numbers a host gives to the names the guide uses.
#ifndef WAY_PLUGIN_URIDS_H
#define WAY_PLUGIN_URIDS_H

#include <lv2/urid/urid.h>

#define WAY_CHART_FILE_URI "urn:waymark:guide#chartFile"
#define WAY_CHART_TEXT_URI "urn:waymark:guide#chartText"
#define WAY_CHART_MESSAGE_URI "urn:waymark:guide#chartMessage"
#define WAY_LEARNED_URI "urn:waymark:guide#learned"
#define WAY_LEARNED_FROM_URI "urn:waymark:guide#learnedFrom"
#define WAY_SCREEN_URI "urn:waymark:guide#screen"
#define WAY_LOOK_URI "urn:waymark:guide#look"
#define WAY_STATE_VERSION_URI "urn:waymark:guide#stateVersion"
#define WAY_VOCAB_URI "urn:waymark:vocab#"

/// Every name by field.
typedef struct {
  LV2_URID atom_Blank, atom_Bool, atom_Double, atom_Float, atom_Int, atom_Long;
  LV2_URID atom_Object, atom_Path, atom_Sequence, atom_String, atom_URID, atom_Vector;
  LV2_URID midi_MidiEvent;
  LV2_URID patch_Get, patch_Put, patch_Set;
  LV2_URID patch_body, patch_property, patch_subject, patch_value;
  LV2_URID time_Position, time_bar, time_barBeat, time_beat, time_beatUnit;
  LV2_URID time_beatsPerBar, time_beatsPerMinute, time_frame, time_speed;
  LV2_URID guide, chart_file, chart_text, chart_message, screen, state_version;
  LV2_URID Role, Landing, Change, Top, Resolution;
  LV2_URID tick, chorus, bar, root, rootLetter, tones;
  LV2_URID Screen, speed, chordFrom, chord, key, tagsRefused, notes;
  LV2_URID again, early, pitch, role, interval, degree, landing, heldOver;
  LV2_URID look;
  LV2_URID Learned, learned, learned_from;
} WayUrids;

/// Ask the host for all of them.  Not real-time safe.
void way_urids_init(WayUrids* urids, const LV2_URID_Map* map);

#endif
