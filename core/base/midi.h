// Names of the bytes of MIDI messages (MIDI 1.0) and of Standard MIDI Files (RP-001).
#ifndef WAY_BASE_MIDI_H
#define WAY_BASE_MIDI_H

#include <stdbool.h>
#include <stdint.h>

enum {
  WAY_MIDI_CHANNELS = 16,
  WAY_MIDI_KEYS = 128, ///< Note numbers
  WAY_MIDI_DRUMS = 9,  ///< Channel of drums in General MIDI, from 0
};

/// Status bytes.  Those below F0 have the channel, 0..15, in their lower half.
enum {
  WAY_MIDI_NOTE_OFF = 0x80,
  WAY_MIDI_NOTE_ON = 0x90, ///< With velocity 0 it is a note-off
  WAY_MIDI_KEY_PRESSURE = 0xA0,
  WAY_MIDI_CONTROLLER = 0xB0,
  WAY_MIDI_PROGRAM = 0xC0,
  WAY_MIDI_BEND = 0xE0,
  WAY_MIDI_SYSEX = 0xF0,
  WAY_MIDI_SYSEX_MORE = 0xF7, ///< In files: a SysEx goes on, or anything as it is
  WAY_MIDI_META = 0xFF,       ///< In files: a meta event
};

/// Controllers.
enum {
  WAY_CONTROLLER_DATA = 6, ///< Value of the parameter selected, coarse
  WAY_CONTROLLER_VOLUME = 7,
  WAY_CONTROLLER_DATA_FINE = 38,
  WAY_CONTROLLER_SUSTAIN = 64,
  WAY_CONTROLLER_SOSTENUTO = 66,
  WAY_CONTROLLER_INCREMENT = 96,  ///< Of the parameter selected, whatever the value
  WAY_CONTROLLER_DECREMENT = 97,  ///< Likewise
  WAY_CONTROLLER_OTHER_FINE = 98, ///< Selects a parameter that is not registered
  WAY_CONTROLLER_OTHER = 99,
  WAY_CONTROLLER_REGISTERED_FINE = 100, ///< Selects a registered parameter
  WAY_CONTROLLER_REGISTERED = 101,
  WAY_CONTROLLER_ALL_SOUND_OFF = 120,
  WAY_CONTROLLER_RESET = 121,         ///< Of all controllers
  WAY_CONTROLLER_ALL_NOTES_OFF = 123, ///< From here on all end the channel's notes
  WAY_CONTROLLER_MONO = 126,
  WAY_CONTROLLER_POLY = 127,
};

/// A pedal is down from this value on.
enum { WAY_PEDAL_DOWN = 64 };

/// The pedals that hold notes, as a set; and how many there are.
enum { WAY_PEDAL_SUSTAIN = 1, WAY_PEDAL_SOSTENUTO = 2, WAY_PEDALS = 2 };

/// Types of meta events.
enum {
  WAY_META_TEXT = 0x01, ///< From here to 0F all hold text
  WAY_META_NAME = 0x03, ///< Of the track
  WAY_META_LYRIC = 0x05,
  WAY_META_MARKER = 0x06,
  WAY_META_TEXT_LAST = 0x0F,
  WAY_META_END = 0x2F, ///< Of the track
  WAY_META_TEMPO = 0x51,
  WAY_META_METRE = 0x58,
  WAY_META_KEY = 0x59,
};

/// The status byte of a channel message without its channel.  @par Real-time safe.
static inline uint8_t way_midi_kind(const uint8_t* bytes) { return bytes[0] & 0xF0; }
/// The channel of a channel message, 0..15.  @par Real-time safe.
static inline uint8_t way_midi_channel(const uint8_t* bytes) { return bytes[0] & 0x0F; }
/// Whether a whole message begins a note.  @par Real-time safe.
static inline bool way_midi_is_note_on(const uint8_t* bytes) {
  return way_midi_kind(bytes) == WAY_MIDI_NOTE_ON && bytes[2];
}
/// Whether a message of `size` bytes is of a controller.  @par Real-time safe.
static inline bool way_midi_is_controller(const uint8_t* bytes, uint32_t size) {
  return size == 3 && way_midi_kind(bytes) == WAY_MIDI_CONTROLLER;
}
/// Whether it ends all notes of its channel: all sound off, all notes off, or a change
/// of mode, which is all notes off too (MIDI 1.0 Detailed Specification, channel mode
/// messages).  @par Real-time safe.
static inline bool way_midi_is_all_off(const uint8_t* bytes, uint32_t size) {
  return way_midi_is_controller(bytes, size) &&
         (bytes[1] == WAY_CONTROLLER_ALL_SOUND_OFF ||
          bytes[1] >= WAY_CONTROLLER_ALL_NOTES_OFF);
}
/// The pedals that it moves; a reset of all controllers lifts them all (RP-015).
/// @par Real-time safe.
static inline unsigned way_midi_pedals(const uint8_t* bytes, uint32_t size) {
  if (!way_midi_is_controller(bytes, size)) return 0;
  switch (bytes[1]) {
  case WAY_CONTROLLER_SUSTAIN: return WAY_PEDAL_SUSTAIN;
  case WAY_CONTROLLER_SOSTENUTO: return WAY_PEDAL_SOSTENUTO;
  case WAY_CONTROLLER_RESET: return WAY_PEDAL_SUSTAIN | WAY_PEDAL_SOSTENUTO;
  default: return 0;
  }
}
/// Whether a message that moves pedals puts them down.  @par Real-time safe.
static inline bool way_midi_is_pedal_down(const uint8_t bytes[3]) {
  return bytes[1] != WAY_CONTROLLER_RESET && bytes[2] >= WAY_PEDAL_DOWN;
}
/// The note number nearest to any number.  @par Real-time safe.
static inline uint8_t way_midi_nearest(int number) {
  return (uint8_t)(number < 0 ? 0 : number > 127 ? 127 : number);
}
/**
   How many data bytes stand behind a status byte (80 and above).

   @return -1 for what has no fixed length (SysEx, meta events) or does not exist.
   @par Real-time safe.
*/
static inline int way_midi_data_bytes(uint8_t status) {
  static const int8_t channel[] = {2, 2, 2, 2, 1, 1, 2}; // 8n 9n An Bn Cn Dn En
  static const int8_t system[] = {-1, 1,  2, 1, -1, -1, 0, -1,
                                  0,  -1, 0, 0, 0,  -1, 0, -1};
  return status < WAY_MIDI_SYSEX ? channel[(status >> 4) - 8] : system[status & 0x0F];
}

#endif
