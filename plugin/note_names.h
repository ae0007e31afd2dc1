// Names for the lanes in a host's piano roll, as a MIDI name document.
//
// The document is the MIDI Manufacturers Association's MIDINameDocument 1.0; the
// interface is the open extension http://ardour.org/lv2/midnam.
#ifndef WAY_PLUGIN_NOTE_NAMES_H
#define WAY_PLUGIN_NOTE_NAMES_H

#include <lv2/core/lv2.h>

#include <stdint.h>

#define WAY_MIDNAM__interface "http://ardour.org/lv2/midnam#interface"
#define WAY_MIDNAM__update "http://ardour.org/lv2/midnam#update"

/// The extension's interface, as handed out by extension_data().
typedef struct {
  char* (*midnam)(LV2_Handle instance); ///< The document; to be freed with `free`
  char* (*model)(LV2_Handle instance);  ///< What it is listed as; likewise
  void (*free)(char* text);
} WayMidnamInterface;

/// The extension's feature: the host's side.
typedef struct {
  void* handle;
  void (*update)(void* handle); ///< Another document is to be read; run() may call it
} WayMidnamHost;

/**
   Make the document: every lane by name on one channel, nothing on the others.

   @param channel 0..15.
   @return To be freed with free(); NULL without memory.
*/
char* way_note_names_new(uint8_t channel);
/// What the document calls its device; likewise to be freed.
char* way_note_names_model(void);

#endif
