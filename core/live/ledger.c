#include "live/ledger.h"

#include <string.h>

/// Release velocity where the player gave none: the MIDI standard's middle value.
#define RELEASE 64u

void way_ledger_init(WayLedger* l) {
  memset(l, 0, sizeof(*l));
  l->oldest = l->newest = WAY_NO_KEY;
}

static bool emit(const WaySink* sink, int64_t frame, unsigned kind, WayKeyIndex note,
                 uint8_t velocity) {
  return sink->note(sink->to, frame, way_ledger_word(kind, note, velocity));
}

/// The controllers of pedals, by their bit in a set of them.
static const uint8_t pedals[WAY_PEDALS] = {WAY_CONTROLLER_SUSTAIN,
                                           WAY_CONTROLLER_SOSTENUTO};

/// Owe what a message that found no room was to lift.
static void owe_pedals(WayLedger* l, const uint8_t* bytes, uint32_t size) {
  const unsigned moved = way_midi_pedals(bytes, size);
  if (!moved || way_midi_is_pedal_down(bytes)) return;
  const uint16_t channel = (uint16_t)(1u << way_midi_channel(bytes));
  for (unsigned i = 0; i < WAY_PEDALS; ++i) {
    if (!(moved >> i & 1) || l->pedals_owed[i] & channel) continue;
    l->pedals_owed[i] |= channel;
    ++l->total_owed;
  }
}

/// Lift the pedals that are owed.  @return Whether there was room.
static bool lift_owed(WayLedger* l, const WaySink* sink, int64_t frame) {
  for (unsigned i = 0; i < WAY_PEDALS; ++i)
    for (unsigned c = 0; l->pedals_owed[i]; ++c) {
      const uint16_t channel = (uint16_t)(1u << c);
      if (!(l->pedals_owed[i] & channel)) continue;
      const uint8_t bytes[3] = {(uint8_t)(WAY_MIDI_CONTROLLER | c), pedals[i], 0};
      if (!sink->midi(sink->to, frame, bytes, sizeof(bytes))) return false;
      l->pedals_owed[i] &= (uint16_t)~channel;
      --l->total_owed;
    }
  return true;
}

static bool flush_all(WayLedger* l, const WaySink* sink, int64_t frame) {
  for (unsigned note = 0; note < WAY_LEDGER_KEYS && l->total_owed; ++note) {
    for (; l->keys[note].owed; --l->keys[note].owed, --l->total_owed)
      if (!emit(sink, frame, WAY_MIDI_NOTE_OFF, (WayKeyIndex)note, RELEASE))
        return false;
  }
  return lift_owed(l, sink, frame);
}

bool way_ledger_flush(WayLedger* l, const WaySink* sink, int64_t frame) {
  return !l->total_owed || flush_all(l, sink, frame);
}

bool way_ledger_pass(WayLedger* l, const WaySink* sink, int64_t frame,
                     const uint8_t* bytes, uint32_t size) {
  if (way_ledger_flush(l, sink, frame) && sink->midi(sink->to, frame, bytes, size))
    return true;
  owe_pedals(l, bytes, size);
  return false;
}

/// End one note-on of `note`, now or when there is room.
static void send_off(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex note,
                     unsigned kind, uint8_t velocity) {
  --l->keys[note].sounding;
  if (way_ledger_flush(l, sink, frame) && emit(sink, frame, kind, note, velocity))
    return;
  ++l->keys[note].owed;
  ++l->total_owed;
}

/// End note-ons of `note` until no more than `left` sound.
static void end_down_to(WayLedger* l, const WaySink* sink, int64_t frame,
                        WayKeyIndex note, uint16_t left) {
  while (l->keys[note].sounding > left)
    send_off(l, sink, frame, note, WAY_MIDI_NOTE_OFF, RELEASE);
}

void way_ledger_end(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex key) {
  WayHeldKey* const k = &l->keys[key];
  const WayKeyIndex note = k->note;
  if (!k->strikes || note == WAY_NO_KEY) return;
  l->keys[note].owners = (uint16_t)(l->keys[note].owners - k->strikes);
  k->note = WAY_NO_KEY;
  end_down_to(l, sink, frame, note, l->keys[note].owners);
}

void way_ledger_forget(WayLedger* l, const WaySink* sink, int64_t frame,
                       WayKeyIndex key) {
  if (!l->keys[key].strikes) return;
  way_ledger_end(l, sink, frame, key);
  l->keys[key].strikes = 0;
  way_ledger_remove(l, &l->keys[key]);
}

/// Begin `note` for a held or new key that has `strikes` on it already.
static bool begin(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex note,
                  unsigned strikes, uint8_t velocity) {
  if (l->keys[note].owners > strikes) end_down_to(l, sink, frame, note, 0);
  if (!way_ledger_flush(l, sink, frame) ||
      !emit(sink, frame, WAY_MIDI_NOTE_ON, note, velocity))
    return false;
  ++l->keys[note].sounding;
  return true;
}

bool way_ledger_strike_any(WayLedger* l, const WaySink* sink, int64_t frame,
                           WayKeyIndex key, WayKeyIndex note, uint8_t velocity,
                           bool melody) {
  WayHeldKey *const k = &l->keys[key], *const n = &l->keys[note];
  if (k->strikes && (k->note != note || k->strikes == UINT8_MAX))
    way_ledger_forget(l, sink, frame, key);
  if (n->owners > k->strikes) end_down_to(l, sink, frame, note, 0);
  if (!way_ledger_flush(l, sink, frame) ||
      !emit(sink, frame, WAY_MIDI_NOTE_ON, note, velocity))
    return false;
  if (k->strikes) way_ledger_remove(l, &l->keys[key]);
  way_ledger_append(l, key);
  ++n->sounding;
  ++n->owners;
  ++k->strikes;
  k->note = note;
  k->velocity = velocity;
  k->melody = melody;
  return true;
}

void way_ledger_mute(WayLedger* l, const WaySink* sink, int64_t frame,
                     WayKeyIndex key) {
  WayHeldKey* const k = &l->keys[key];
  if (k->strikes && (k->note != WAY_NO_KEY || k->strikes == UINT8_MAX))
    way_ledger_forget(l, sink, frame, key);
  if (!k->strikes) way_ledger_append(l, key);
  ++k->strikes;
  k->note = WAY_NO_KEY;
  k->melody = true;
}

void way_ledger_lift_any(WayLedger* l, const WaySink* sink, int64_t frame,
                         WayNoteWord off) {
  const WayKeyIndex key = way_key_index(off, off >> 8);
  WayHeldKey* const k = &l->keys[key];
  if (!k->strikes) {
    if (!k->owners && way_ledger_flush(l, sink, frame))
      sink->note(sink->to, frame, off);
    return;
  }
  const WayKeyIndex note = k->note;
  if (!--k->strikes) way_ledger_remove(l, &l->keys[key]);
  if (note == WAY_NO_KEY) return;
  WayHeldKey* const n = &l->keys[note];
  if (n->sounding > --n->owners)
    send_off(l, sink, frame, note, off & 0xF0u, (uint8_t)(off >> 16));
}

bool way_ledger_move(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex key,
                     WayKeyIndex note) {
  WayHeldKey* const k = &l->keys[key];
  if (!k->strikes || k->note == WAY_NO_KEY) return false;
  way_ledger_end(l, sink, frame, key);
  if (!begin(l, sink, frame, note, 0, k->velocity)) return false;
  // Strikes that were one note-on each become one: their last note-off ends it.
  l->keys[note].owners = (uint16_t)(l->keys[note].owners + k->strikes);
  k->note = note;
  return true;
}

void way_ledger_clear_channel(WayLedger* l, const WaySink* sink, int64_t frame,
                              uint8_t channel) {
  for (WayKeyIndex key = l->oldest, newer; key != WAY_NO_KEY; key = newer) {
    newer = l->keys[key].newer;
    if (key != WAY_LEDGER_OWN && way_key_channel(key) == channel)
      way_ledger_forget(l, sink, frame, key);
  }
}

void way_ledger_clear(WayLedger* l, const WaySink* sink, int64_t frame) {
  while (l->oldest != WAY_NO_KEY) way_ledger_forget(l, sink, frame, l->oldest);
}
