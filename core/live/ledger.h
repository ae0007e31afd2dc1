// Which sounding note each held key stands for: what was begun is always ended.
//
// A *key* is a channel and note number as they came in; a *note* is a channel and note
// number as they went out.  The rules:
// - A note-off goes to the note its key began, whatever was chosen since.
// - The same key struck again on the same note passes as played, and so do its offs;
//   on another note, the earlier note is ended first.
// - Another key on a note that sounds already ends it and begins it again; only the
//   last of its keys to be lifted ends it.
// - A note-on that finds no room is not sent and not entered.  A note-off that finds no
//   room is owed, and sent before anything else as soon as there is room.  So is what
//   lifts a pedal, which would hold notes for ever.
// - A note-off whose key began nothing passes as it came, unless that note is held by
//   another key.
#ifndef WAY_LIVE_LEDGER_H
#define WAY_LIVE_LEDGER_H

#include "base/midi.h"
#include "live/sink.h"

/// In place of a pitch: nothing is sounding.
#define WAY_UNHELD 255u
/// Keys there are: 16 channels of 128.
#define WAY_LEDGER_KEYS 2048u
/// A key of nobody's hand, for notes that the guide plays by itself.
#define WAY_LEDGER_OWN 2048u
/// In place of a key: none.
#define WAY_NO_KEY 0xFFFFu

/// A channel (0..15) and note number (0..127) as one index: `channel * 128 + number`.
typedef uint16_t WayKeyIndex;

/// One channel and number: as a key that is held, and as a note that sounds.  Mostly
/// they are the same, so they lie together.
typedef struct {
  WayKeyIndex older, newer; ///< Neighbours in order of onset, or #WAY_NO_KEY
  WayKeyIndex note;         ///< The note the key began, or #WAY_NO_KEY if left out
  uint8_t strikes;          ///< Note-ons of the key not yet answered; 0: not held
  uint8_t velocity;         ///< Of the newest strike
  bool melody;              ///< A note of the melody, not one that only passes
  uint16_t owners;          ///< Strikes that stand for the note
  uint16_t sounding;        ///< Note-ons sent, less note-offs
  uint16_t owed;            ///< Note-offs that found no room
} WayHeldKey;

/// The ledger.  One thread, no heap, no pointers.  Read its fields, but change them
/// only through the functions.
typedef struct {
  uint32_t total_owed;              ///< Note-offs, and pedals to be lifted
  uint16_t pedals_owed[WAY_PEDALS]; ///< By their bit in a set of them; bit n: channel n
  WayKeyIndex oldest, newest;       ///< Ends of the list of held keys, or #WAY_NO_KEY
  WayHeldKey keys[WAY_LEDGER_KEYS + 1]; ///< By key, and by note
} WayLedger;

/// The index of a channel (its low 4 bits count) and a number (low 7 bits).
static inline WayKeyIndex way_key_index(unsigned channel, unsigned number) {
  return (WayKeyIndex)((channel & 15u) << 7 | (number & 127u));
}
/// The channel of an index, 0..15.
static inline uint8_t way_key_channel(WayKeyIndex index) {
  return (uint8_t)(index >> 7 & 15u);
}
/// The note number of an index, 0..127.
static inline uint8_t way_key_number(WayKeyIndex index) {
  return (uint8_t)(index & 127u);
}

/// Nothing held, nothing owed.  @par Real-time safe.
WAY_RT void way_ledger_init(WayLedger* l);
/// Pass on a message that is not a note.
/// @return Whether there was room; if not it is lost, but for the pedals it lifts.
/// @par Real-time safe.
WAY_RT bool way_ledger_pass(WayLedger* l, const WaySink* sink, int64_t frame,
                            const uint8_t* bytes, uint32_t size);
/// A key is struck whose note is left out: its note-off will be, too.
/// @par Real-time safe.
WAY_RT void way_ledger_mute(WayLedger* l, const WaySink* sink, int64_t frame,
                            WayKeyIndex key);
/// End a held key's note now; its note-off will be left out.  @par Real-time safe.
WAY_RT void way_ledger_end(WayLedger* l, const WaySink* sink, int64_t frame,
                           WayKeyIndex key);
/// End a held key's note and begin it again as `note`; its place in the order of onsets
/// stays.  @return Whether the note-on was sent; never for a key that sounds nothing.
/// @par Real-time safe.
WAY_RT bool way_ledger_move(WayLedger* l, const WaySink* sink, int64_t frame,
                            WayKeyIndex key, WayKeyIndex note);
/// Forget a key, ending its notes.  @par Real-time safe.
WAY_RT void way_ledger_forget(WayLedger* l, const WaySink* sink, int64_t frame,
                              WayKeyIndex key);
/// Forget every key that came in on `channel` (0..15), ending its notes.
/// @par Real-time safe: linear in the held keys.
WAY_RT void way_ledger_clear_channel(WayLedger* l, const WaySink* sink, int64_t frame,
                                     uint8_t channel);
/// Forget every key, ending all notes.  @par Real-time safe: linear in the held keys.
WAY_RT void way_ledger_clear(WayLedger* l, const WaySink* sink, int64_t frame);
/// Send what is owed.  @return Whether nothing is owed now.  @par Real-time safe.
WAY_RT bool way_ledger_flush(WayLedger* l, const WaySink* sink, int64_t frame);

// Nearly every note is struck while it is silent, and lifted while nothing else holds
// it: these go straight through; the rest takes the functions named `any`.

/// way_ledger_strike() of any key on any note.  @par Real-time safe.
WAY_RT bool way_ledger_strike_any(WayLedger* l, const WaySink* sink, int64_t frame,
                                  WayKeyIndex key, WayKeyIndex note, uint8_t velocity,
                                  bool melody);
/// way_ledger_lift() of any key.  @par Real-time safe.
WAY_RT void way_ledger_lift_any(WayLedger* l, const WaySink* sink, int64_t frame,
                                WayNoteWord off);

/// Put a key at the end of the list of held ones.
static inline void way_ledger_append(WayLedger* l, WayKeyIndex key) {
  WayHeldKey* const k = &l->keys[key];
  k->older = l->newest;
  k->newer = WAY_NO_KEY;
  if (l->newest == WAY_NO_KEY)
    l->oldest = key;
  else
    l->keys[l->newest].newer = key;
  l->newest = key;
}

/// Take a key out of that list.
static inline void way_ledger_remove(WayLedger* l, const WayHeldKey* k) {
  if (k->older == WAY_NO_KEY)
    l->oldest = k->newer;
  else
    l->keys[k->older].newer = k->newer;
  if (k->newer == WAY_NO_KEY)
    l->newest = k->older;
  else
    l->keys[k->newer].older = k->older;
}

/// A message about a note.  @param kind Its status, without the channel.
static inline WayNoteWord way_ledger_word(unsigned kind, WayKeyIndex note,
                                          unsigned velocity) {
  return way_note_word(kind | way_key_channel(note), way_key_number(note), velocity);
}

/// Whether a key is up and its note silent, and nothing is owed.
static inline bool way_ledger_silent(const WayLedger* l, WayKeyIndex key,
                                     WayKeyIndex note) {
  return !l->keys[key].strikes && !l->keys[note].owners && !l->total_owed;
}

/// Enter a key whose note-on was sent: it was up, and its note silent.
static inline void way_ledger_enter(WayLedger* l, WayKeyIndex key, WayKeyIndex note,
                                    uint8_t velocity, bool melody) {
  way_ledger_append(l, key);
  WayHeldKey *const k = &l->keys[key], *const n = &l->keys[note];
  ++n->sounding;
  n->owners = 1;
  k->strikes = 1;
  k->note = note;
  k->velocity = velocity;
  k->melody = melody;
}

/**
   A key is struck: begin its note.

   @param note     What to send it as.
   @param velocity 1..127.
   @param melody   Whether its owner may later move or end it by itself.
   @return Whether the note-on was sent.
   @par Real-time safe.
*/
static inline bool way_ledger_strike(WayLedger* l, const WaySink* sink, int64_t frame,
                                     WayKeyIndex key, WayKeyIndex note,
                                     uint8_t velocity, bool melody) {
  if (!way_ledger_silent(l, key, note))
    return way_ledger_strike_any(l, sink, frame, key, note, velocity, melody);
  if (!sink->note(sink->to, frame, way_ledger_word(0x90, note, velocity))) return false;
  way_ledger_enter(l, key, note, velocity, melody);
  return true;
}

/// Lift a key that alone holds its note, and only once.
/// @param off As for way_ledger_lift().  @return Whether it was one, and its note-off
/// was sent.
static inline bool way_ledger_lift_alone(WayLedger* l, const WaySink* sink,
                                         int64_t frame, WayNoteWord off) {
  WayHeldKey* const k = &l->keys[way_key_index(off, off >> 8)];
  WayHeldKey* const n = &l->keys[k->note % WAY_LEDGER_KEYS];
  if (k->strikes != 1 || k->note == WAY_NO_KEY || n->owners != 1 || n->sounding != 1 ||
      l->total_owed ||
      !sink->note(sink->to, frame,
                  way_ledger_word(off & 0xF0u, k->note, off >> 16 & 0xFFu)))
    return false;
  way_ledger_remove(l, k);
  k->strikes = 0;
  n->owners = n->sounding = 0;
  return true;
}

/// A key is lifted.
/// @param off The message as it came, a note-on without velocity included.
/// @par Real-time safe.
static inline void way_ledger_lift(WayLedger* l, const WaySink* sink, int64_t frame,
                                   WayNoteWord off) {
  if (!way_ledger_lift_alone(l, sink, frame, off))
    way_ledger_lift_any(l, sink, frame, off);
}

#endif
