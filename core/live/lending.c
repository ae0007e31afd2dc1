#include "live/lending.h"

#include "base/midi.h"

#include <string.h>

/// Whether a message of a channel tells how it is to be played, not how it sounds.
static bool is_mode(const uint8_t* bytes, uint32_t size) {
  return way_midi_is_controller(bytes, size) && bytes[1] > WAY_CONTROLLER_RESET;
}

/// What a message leaves held of what its channel holds: pedals, and a bend.
static uint8_t still_held(uint8_t held, const uint8_t* bytes, uint32_t size) {
  enum { BEND = 1 << WAY_PEDALS }; // beside the pedals
  if (size != 3) return held;
  const unsigned kind = way_midi_kind(bytes);
  if (kind == WAY_MIDI_CONTROLLER && bytes[1] == WAY_CONTROLLER_RESET) return 0;
  unsigned which = way_midi_pedals(bytes, size);
  bool holds = way_midi_is_pedal_down(bytes);
  if (kind == WAY_MIDI_BEND) {
    which = BEND;
    holds = bytes[1] || bytes[2] != 64; // 8192 is the middle
  }
  return (uint8_t)(holds ? held | which : held & ~which);
}

void way_lending_send(WayLending* l, WayLedger* ledger, const WaySink* sink,
                      int64_t frame, uint16_t tags, const uint8_t* bytes,
                      uint32_t size) {
  const unsigned channel = bytes[0] & 15u;
  const uint16_t own = (uint16_t)(1u << channel);
  const uint16_t left = tags || l->lenders & own ? l->lent : 0;
  const uint16_t all = (uint16_t)((tags | left) & ~own);
  if (!all || bytes[0] < WAY_MIDI_NOTE_OFF || bytes[0] >= WAY_MIDI_SYSEX || size > 3 ||
      is_mode(bytes, size))
    return;
  uint8_t copy[3] = {0};
  memcpy(copy, bytes, size);
  for (unsigned to = 0; to < WAY_MIDI_CHANNELS; ++to) {
    if (!(all >> to & 1)) continue;
    copy[0] = (uint8_t)((bytes[0] & 0xF0) | to);
    way_ledger_pass(ledger, sink, frame, copy, size);
  }
  l->held = still_held(l->held, bytes, size);
  l->lent = l->held ? l->lent | all : 0;
  l->lenders = l->held ? l->lenders | own : 0;
}
