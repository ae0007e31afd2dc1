// Event ports: sequences read without trust in the host, and written without ever
// passing their end.
#ifndef WAY_PLUGIN_MIDI_IO_H
#define WAY_PLUGIN_MIDI_IO_H

#include "base/attributes.h"
#include "urids.h"

#include <lv2/atom/atom.h>

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

/// Time of a reader at its end.
#define WAY_NO_EVENT INT64_MAX

/**
   A reader of one kind of events of an input: either MIDI messages or objects.

   Hosts may put a position behind MIDI events of later frames, so the two kinds are
   read apart.  Times never fall and lie inside the block.  All functions are real-time
   safe.
*/
typedef struct {
  const LV2_Atom_Event* event; ///< The event now
  const uint8_t* end;          ///< Where the sequence ends
  int64_t frame;    ///< Its frame in the block, made to rise; or #WAY_NO_EVENT
  int64_t last;     ///< Last frame of the block
  LV2_URID type[2]; ///< Types of atoms to stop at
} WayEventReader;

/// The bytes an event takes in its sequence, padding included.
static inline size_t way_event_size(const LV2_Atom_Event* e) {
  return sizeof(LV2_Atom_Event) + (((size_t)e->body.size + 7u) & ~(size_t)7u);
}

/// The frame of an event in its block: times rise, and stay in the block.
static inline int64_t way_event_frame(const LV2_Atom_Event* e, int64_t before,
                                      int64_t last) {
  const int64_t risen = e->time.frames > before ? e->time.frames : before;
  return risen < last ? risen : last;
}

// The eight bytes behind the header of an event of three bytes, as one number: the
// bytes from the lowest up, with padding above.

static inline uint64_t way_load_short(const void* body) {
  uint64_t bytes;
  memcpy(&bytes, body, sizeof(bytes));
#if defined(__BYTE_ORDER__) && __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
  bytes = __builtin_bswap64(bytes);
#endif
  return bytes;
}

static inline void way_store_short(void* body, uint64_t bytes) {
#if defined(__BYTE_ORDER__) && __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
  bytes = __builtin_bswap64(bytes);
#endif
  memcpy(body, &bytes, sizeof(bytes));
}

/// The three bytes of an event of that size, from the lowest up.
static inline uint32_t way_event_note(const LV2_Atom_Event* e) {
  return (uint32_t)way_load_short(e + 1) & 0xFFFFFFu;
}

/// Go on from `event` to the first event of a wanted type, itself included.
static inline void way_reader_settle(WayEventReader* r, const LV2_Atom_Event* event) {
  const uint8_t* at = (const uint8_t*)event;
  for (;;) {
    const size_t left = (size_t)(r->end - at);
    const LV2_Atom_Event* const e = (const LV2_Atom_Event*)(const void*)at;
    if (left < sizeof(LV2_Atom_Event) || e->body.size > left - sizeof(LV2_Atom_Event)) {
      r->frame = WAY_NO_EVENT;
      return;
    }
    if (e->body.type == r->type[0] || e->body.type == r->type[1]) {
      r->frame = way_event_frame(e, r->frame, r->last);
      r->event = e;
      return;
    }
    const size_t size = way_event_size(e);
    if (size > left) { // the padding of the last event may be missing
      r->frame = WAY_NO_EVENT;
      return;
    }
    at += size;
  }
}

/// Go to the next event; only valid before the end.
static inline void way_reader_next(WayEventReader* r) {
  const size_t size = way_event_size(r->event);
  const uint8_t* const at = (const uint8_t*)r->event;
  if (size >= (size_t)(r->end - at))
    r->frame = WAY_NO_EVENT;
  else
    way_reader_settle(r, (const LV2_Atom_Event*)(const void*)(at + size));
}

/// Whether a port holds no event.
static inline bool way_reader_nothing(const LV2_Atom_Sequence* seq) {
  return seq->atom.size <= sizeof(LV2_Atom_Sequence_Body);
}

/// Events of three bytes lie this far apart, in bytes.
#define WAY_SHORT_STEP (sizeof(LV2_Atom_Event) + 8u)

/// Whether a port holds nothing but MIDI messages of three bytes, as it mostly does.
static inline bool way_reader_only_short(const WayUrids* urids,
                                         const LV2_Atom_Sequence* seq) {
  if (way_reader_nothing(seq)) return true;
  const LV2_Atom message = {3, urids->midi_MidiEvent};
  const uint8_t* at = (const uint8_t*)(&seq->body + 1);
  size_t left = seq->atom.size - sizeof(LV2_Atom_Sequence_Body);
  for (; left >= WAY_SHORT_STEP; left -= WAY_SHORT_STEP, at += WAY_SHORT_STEP)
    if (memcmp(at + offsetof(LV2_Atom_Event, body), &message, sizeof(message)))
      return false;
  return !left && seq->atom.type == urids->atom_Sequence;
}

/// Start at the first event of type `a` or `b` in a port, which may hold anything.
static inline void way_reader_init(WayEventReader* r, const WayUrids* urids,
                                   const LV2_Atom_Sequence* seq, uint32_t n_frames,
                                   LV2_URID a, LV2_URID b) {
  *r = (WayEventReader){.frame = WAY_NO_EVENT};
  if (way_reader_nothing(seq) || seq->atom.type != urids->atom_Sequence) return;
  r->frame = 0;
  r->last = n_frames ? (int64_t)n_frames - 1 : 0;
  r->type[0] = a;
  r->type[1] = b;
  r->end = (const uint8_t*)&seq->body + seq->atom.size;
  way_reader_settle(r, (const LV2_Atom_Event*)(const void*)(&seq->body + 1));
}

/// An output being filled.
typedef struct {
  LV2_Atom_Sequence* seq; ///< The port
  uint8_t* at;            ///< Next free byte
  uint8_t* end;           ///< Where the room ends; equals `at` if there is none
  int64_t start;          ///< Frame at which the block begins
  int64_t frame;          ///< Frame in the block of the newest event
  int64_t last;           ///< Last frame of the block
  LV2_Atom note;          ///< What every event of a note begins with
} WayEventWriter;

/**
   Make an output an empty sequence.

   The size in the port's atom is taken as the size of the whole buffer, header
   included: some hosts mean that.  Where not even an empty sequence fits, the atom is
   made empty instead.
   @return Whether it is a sequence.
*/
static inline bool way_writer_empty(LV2_Atom_Sequence* seq, LV2_URID sequence) {
  const bool fits = seq->atom.size >= sizeof(LV2_Atom_Sequence);
  seq->atom =
      (LV2_Atom){fits ? sizeof(LV2_Atom_Sequence_Body) : 0, fits ? sequence : 0};
  if (fits) seq->body = (LV2_Atom_Sequence_Body){0, 0};
  return fits;
}

/// Start an output for a block.
static inline void way_writer_begin(WayEventWriter* w, const WayUrids* urids,
                                    LV2_Atom_Sequence* seq, int64_t start,
                                    uint32_t n_frames) {
  const uint32_t room = seq->atom.size & ~7u;
  w->seq = seq;
  w->start = start;
  w->frame = 0;
  w->last = n_frames ? (int64_t)n_frames - 1 : 0;
  w->at = (uint8_t*)(seq + 1);
  w->end = way_writer_empty(seq, urids->atom_Sequence) ? (uint8_t*)seq + room : w->at;
}

/// End a block.
static inline void way_writer_end(const WayEventWriter* w) {
  if (w->at > (uint8_t*)(w->seq + 1))
    w->seq->atom.size = (uint32_t)(w->at - (uint8_t*)&w->seq->body);
}

/// The frame in the block for `frame` of the caller's clock; never falls.
static inline int64_t way_writer_frame(WayEventWriter* w, int64_t frame) {
  const int64_t f = frame - w->start;
  const int64_t risen = f > w->frame ? f : w->frame;
  return w->frame = risen < w->last ? risen : w->last;
}

/// The same for a frame known to be neither before the newest event nor outside the
/// block.
static inline int64_t way_writer_risen(WayEventWriter* w, int64_t frame) {
  return w->frame = frame - w->start;
}

/// Write an event of a note at `at`, where there is room for it.
/// @return Where it ends.
static inline uint8_t* way_put_note(uint8_t* at, int64_t frame, LV2_Atom head,
                                    uint32_t note) {
  LV2_Atom_Event* const e = (LV2_Atom_Event*)(void*)at;
  e->time.frames = frame;
  e->body = head;
  way_store_short(e + 1, note);
  return at + WAY_SHORT_STEP;
}

/// Append a note message; false if there is no room, and nothing is written.
static inline bool way_writer_note(WayEventWriter* w, int64_t frame, uint32_t note) {
  if ((size_t)(w->end - w->at) < WAY_SHORT_STEP) return false;
  w->at = way_put_note(w->at, way_writer_frame(w, frame), w->note, note);
  return true;
}

/// Make room for an event of `size` bytes, header and padding included, at a frame;
/// NULL if there is none.
static inline LV2_Atom_Event* way_writer_event(WayEventWriter* w, int64_t frame,
                                               size_t size) {
  if ((size_t)(w->end - w->at) < size) return NULL;
  LV2_Atom_Event* const e = (LV2_Atom_Event*)(void*)w->at;
  e->time.frames = way_writer_frame(w, frame);
  w->at += size;
  return e;
}

/// Append an atom of any size; likewise.
static inline bool way_writer_atom(WayEventWriter* w, int64_t frame, LV2_URID type,
                                   const void* from, uint32_t size) {
  const size_t padded = ((size_t)size + 7u) & ~(size_t)7u;
  LV2_Atom_Event* const e = way_writer_event(w, frame, sizeof(*e) + padded);
  if (!e) return false;
  uint8_t* const body = (uint8_t*)(e + 1);
  e->body = (LV2_Atom){size, type};
  memcpy(body, from, size);
  memset(body + size, 0, padded - size);
  return true;
}

/// Append a MIDI message of any size; likewise.
static inline bool way_writer_midi(WayEventWriter* w, int64_t frame,
                                   const uint8_t* bytes, uint32_t size) {
  return way_writer_atom(w, frame, w->note.type, bytes, size);
}

#endif
