#include "live/ledger.h"

#include <string.h>

#define NOTE_OFF 0x80u
#define NOTE_ON 0x90u
/// Release velocity where the player gave none: the MIDI standard's middle value.
#define RELEASE 64u

void way_ledger_init(WayLedger* l) {
  memset(l, 0, sizeof(*l));
  l->oldest = l->newest = WAY_NO_KEY;
}

static bool emit(const WaySink* sink, int64_t frame, unsigned kind, WayKeyIndex note,
                 uint8_t velocity) {
  // Cut out of one word, the bytes are stored at once, and whoever copies them need not
  // wait for three stores.
  const uint32_t word = kind | way_key_channel(note) |
                        (uint32_t)way_key_number(note) << 8 | (uint32_t)velocity << 16;
  const uint8_t bytes[4] = {(uint8_t)word, (uint8_t)(word >> 8), (uint8_t)(word >> 16),
                            (uint8_t)(word >> 24)};
  return sink->midi(sink->to, frame, bytes, 3);
}

static bool flush_all(WayLedger* l, const WaySink* sink, int64_t frame) {
  for (unsigned note = 0; note < WAY_LEDGER_KEYS && l->total_owed; ++note) {
    for (; l->owed[note]; --l->owed[note], --l->total_owed)
      if (!emit(sink, frame, NOTE_OFF, (WayKeyIndex)note, RELEASE)) return false;
  }
  return true;
}

bool way_ledger_flush(WayLedger* l, const WaySink* sink, int64_t frame) {
  return !l->total_owed || flush_all(l, sink, frame);
}

bool way_ledger_pass(WayLedger* l, const WaySink* sink, int64_t frame,
                     const uint8_t* bytes, uint32_t size) {
  return way_ledger_flush(l, sink, frame) && sink->midi(sink->to, frame, bytes, size);
}

/// End one note-on of `note`, now or when there is room.
static void send_off(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex note,
                     unsigned kind, uint8_t velocity) {
  --l->sounding[note];
  if (way_ledger_flush(l, sink, frame) && emit(sink, frame, kind, note, velocity))
    return;
  ++l->owed[note];
  ++l->total_owed;
}

/// End note-ons of `note` until no more than `left` sound.
static void end_down_to(WayLedger* l, const WaySink* sink, int64_t frame,
                        WayKeyIndex note, uint16_t left) {
  while (l->sounding[note] > left) send_off(l, sink, frame, note, NOTE_OFF, RELEASE);
}

static void list_append(WayLedger* l, WayKeyIndex key) {
  WayHeldKey* const k = &l->keys[key];
  k->older = l->newest;
  k->newer = WAY_NO_KEY;
  if (l->newest == WAY_NO_KEY)
    l->oldest = key;
  else
    l->keys[l->newest].newer = key;
  l->newest = key;
}

static void list_remove(WayLedger* l, WayKeyIndex key) {
  const WayHeldKey* const k = &l->keys[key];
  if (k->older == WAY_NO_KEY)
    l->oldest = k->newer;
  else
    l->keys[k->older].newer = k->newer;
  if (k->newer == WAY_NO_KEY)
    l->newest = k->older;
  else
    l->keys[k->newer].older = k->older;
}

void way_ledger_end(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex key) {
  WayHeldKey* const k = &l->keys[key];
  const WayKeyIndex note = k->note;
  if (!k->strikes || note == WAY_NO_KEY) return;
  l->owners[note] = (uint16_t)(l->owners[note] - k->strikes);
  k->note = WAY_NO_KEY;
  end_down_to(l, sink, frame, note, l->owners[note]);
}

static void forget(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex key) {
  way_ledger_end(l, sink, frame, key);
  l->keys[key].strikes = 0;
  list_remove(l, key);
}

/// Begin `note` for a held or new key that has `strikes` on it already.
static bool begin(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex note,
                  unsigned strikes, uint8_t velocity) {
  if (l->owners[note] > strikes) end_down_to(l, sink, frame, note, 0);
  if (!way_ledger_flush(l, sink, frame) || !emit(sink, frame, NOTE_ON, note, velocity))
    return false;
  ++l->sounding[note];
  return true;
}

bool way_ledger_strike(WayLedger* l, const WaySink* sink, int64_t frame,
                       WayKeyIndex key, WayKeyIndex note, uint8_t velocity,
                       bool melody) {
  WayHeldKey* const k = &l->keys[key];
  if (k->strikes && (k->note != note || k->strikes == UINT8_MAX))
    forget(l, sink, frame, key);
  if (!begin(l, sink, frame, note, k->strikes, velocity)) return false;
  if (k->strikes) list_remove(l, key);
  list_append(l, key);
  ++l->owners[note];
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
    forget(l, sink, frame, key);
  if (!k->strikes) list_append(l, key);
  ++k->strikes;
  k->note = WAY_NO_KEY;
  k->melody = true;
}

void way_ledger_lift(WayLedger* l, const WaySink* sink, int64_t frame,
                     const uint8_t message[3]) {
  const WayKeyIndex key = way_key_index(message[0], message[1]);
  WayHeldKey* const k = &l->keys[key];
  if (!k->strikes) {
    if (!l->owners[key]) way_ledger_pass(l, sink, frame, message, 3);
    return;
  }
  const WayKeyIndex note = k->note;
  if (!--k->strikes) list_remove(l, key);
  if (note == WAY_NO_KEY) return;
  if (l->sounding[note] > --l->owners[note])
    send_off(l, sink, frame, note, message[0] & 0xF0u, message[2]);
}

bool way_ledger_move(WayLedger* l, const WaySink* sink, int64_t frame, WayKeyIndex key,
                     WayKeyIndex note) {
  WayHeldKey* const k = &l->keys[key];
  if (!k->strikes || k->note == WAY_NO_KEY) return false;
  way_ledger_end(l, sink, frame, key);
  if (!begin(l, sink, frame, note, 0, k->velocity)) return false;
  // Strikes that were one note-on each become one: their last note-off ends it.
  l->owners[note] = (uint16_t)(l->owners[note] + k->strikes);
  k->note = note;
  return true;
}

void way_ledger_clear_channel(WayLedger* l, const WaySink* sink, int64_t frame,
                              uint8_t channel) {
  for (WayKeyIndex key = l->oldest, newer; key != WAY_NO_KEY; key = newer) {
    newer = l->keys[key].newer;
    if (way_key_channel(key) == channel) forget(l, sink, frame, key);
  }
}

void way_ledger_clear(WayLedger* l, const WaySink* sink, int64_t frame) {
  while (l->oldest != WAY_NO_KEY) forget(l, sink, frame, l->oldest);
}
