#include "note_names.h"

#include "base/text.h"
#include "live/mark.h"

#include <stdlib.h>
#include <string.h>

#define MODEL "Waymark marks"
/// Room for the whole document.
#define DOCUMENT_MAX 8192u

static void write_channels(WayOut* out, uint8_t channel, const char* before,
                           const char* on, const char* off) {
  for (int i = 0; i < 16; ++i) {
    way_out_str(out, before);
    way_out_int(out, i + 1);
    way_out_str(out, i == channel ? on : off);
  }
}

/// A set of names for the channels that use it.
static void write_set(WayOut* out, const char* name, const char* list, uint8_t channel,
                      const char* on, const char* off) {
  way_out_str(out, "    <ChannelNameSet Name=\"");
  way_out_str(out, name);
  way_out_str(out, "\">\n      <AvailableForChannels>\n");
  write_channels(out, channel, "        <AvailableChannel Channel=\"", on, off);
  way_out_str(out, "      </AvailableForChannels>\n");
  way_out_str(out, list);
  // The document type asks for a patch.
  way_out_str(out,
              "      <PatchBank Name=\"Marks\">\n"
              "        <PatchNameList>\n"
              "          <Patch Number=\"1\" Name=\"Marks\" ProgramChange=\"0\"/>\n"
              "        </PatchNameList>\n"
              "      </PatchBank>\n"
              "    </ChannelNameSet>\n");
}

char* way_note_names_new(uint8_t channel) {
  char* const text = malloc(DOCUMENT_MAX);
  if (!text) return NULL;
  static const char yes[] = "\" Available=\"true\"/>\n";
  static const char no[] = "\" Available=\"false\"/>\n";
  WayOut out = way_out(text, DOCUMENT_MAX);
  way_out_str(&out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                    "<!DOCTYPE MIDINameDocument PUBLIC"
                    " \"-//MIDI Manufacturers Association//DTD MIDINameDocument"
                    " 1.0//EN\" \"http://www.midi.org/dtds/MIDINameDocument10.dtd\">\n"
                    "<MIDINameDocument>\n"
                    "  <Author>Waymark</Author>\n"
                    "  <MasterDeviceNames>\n"
                    "    <Manufacturer>Waymark</Manufacturer>\n"
                    "    <Model>" MODEL "</Model>\n"
                    "    <CustomDeviceMode Name=\"Marks\">\n"
                    "      <ChannelNameSetAssignments>\n");
  write_channels(&out, channel, "        <ChannelNameSetAssign Channel=\"",
                 "\" NameSet=\"Lanes\"/>\n", "\" NameSet=\"Notes\"/>\n");
  way_out_str(&out, "      </ChannelNameSetAssignments>\n"
                    "    </CustomDeviceMode>\n");
  write_set(&out, "Notes", "", channel, no, yes);
  write_set(&out, "Lanes", "      <UsesNoteNameList Name=\"Lanes\"/>\n", channel, yes,
            no);
  way_out_str(&out, "    <NoteNameList Name=\"Lanes\">\n");
  for (unsigned i = 0; i < WAY_LANE_COUNT; ++i) {
    way_out_str(&out, "      <Note Number=\"");
    way_out_int(&out, way_lanes[i].note);
    way_out_str(&out, "\" Name=\"");
    way_out_str(&out, way_lanes[i].name);
    way_out_str(&out, "\"/>\n");
  }
  way_out_str(&out, "    </NoteNameList>\n"
                    "  </MasterDeviceNames>\n"
                    "</MIDINameDocument>\n");
  return text;
}

char* way_note_names_model(void) {
  char* const text = malloc(sizeof(MODEL));
  if (text) memcpy(text, MODEL, sizeof(MODEL));
  return text;
}
