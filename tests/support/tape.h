// A sink that keeps what it is given, as long as there is room.
#ifndef WAY_TESTS_TAPE_H
#define WAY_TESTS_TAPE_H

#include "live/sink.h"
#include "synth.h"

#include <string.h>

#define TAPE_MESSAGES 4096
#define TAPE_MARKS 4096
#define TAPE_BYTES 8 // of a message that are kept

/// One message as it went out.
typedef struct {
  int64_t frame;
  uint32_t size;
  uint8_t bytes[TAPE_BYTES];
} TapeMessage;

/// What went out.  Start with tape_start().
typedef struct {
  TapeMessage messages[TAPE_MESSAGES];
  WayMark marks[TAPE_MARKS];
  WayChord chords[TAPE_MARKS]; ///< Of the marks
  unsigned n_messages, n_marks;
  unsigned room; ///< Messages still taken; counts down
  bool fell;     ///< Frames went backwards
  int64_t last;  ///< Newest frame of a message or mark
  Synth synth;   ///< Heard every message
} Tape;

static inline void tape_start(Tape* t) {
  t->n_messages = t->n_marks = 0;
  t->room = TAPE_MESSAGES;
  t->fell = false;
  t->last = INT64_MIN;
  memset(&t->synth, 0, sizeof(t->synth));
}

static inline void tape_reach(Tape* t, int64_t frame) {
  if (frame < t->last) t->fell = true;
  t->last = frame;
}

static inline bool tape_midi(void* to, int64_t frame, const uint8_t* bytes,
                             uint32_t size) {
  Tape* const t = to;
  if (!t->room || t->n_messages == TAPE_MESSAGES) return false;
  --t->room;
  tape_reach(t, frame);
  TapeMessage* const m = &t->messages[t->n_messages++];
  memset(m, 0, sizeof(*m));
  m->frame = frame;
  m->size = size;
  memcpy(m->bytes, bytes, size < TAPE_BYTES ? size : TAPE_BYTES);
  synth_hear(&t->synth, bytes, size);
  return true;
}

static inline bool tape_note(void* to, int64_t frame, WayNoteWord note) {
  uint8_t bytes[3];
  way_note_bytes(note, bytes);
  return tape_midi(to, frame, bytes, sizeof(bytes));
}

static inline void tape_mark(void* to, const WayMark* mark) {
  Tape* const t = to;
  tape_reach(t, mark->frame);
  if (t->n_marks == TAPE_MARKS) return;
  t->marks[t->n_marks] = *mark;
  t->chords[t->n_marks] = *mark->chord;
  t->marks[t->n_marks].chord = &t->chords[t->n_marks];
  ++t->n_marks;
}

static inline WaySink tape_sink(Tape* t) {
  return (WaySink){.to = t, .note = tape_note, .midi = tape_midi, .mark = tape_mark};
}

#endif
