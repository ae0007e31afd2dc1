// Where the results of the live guide go.
#ifndef WAY_LIVE_SINK_H
#define WAY_LIVE_SINK_H

#include "live/mark.h"

/// A note-on or note-off in one word: status, number and velocity from the lowest byte
/// up.
typedef uint32_t WayNoteWord;

/// Put a note message together.
static inline WayNoteWord way_note_word(unsigned status, unsigned number,
                                        unsigned velocity) {
  return status | number << 8 | velocity << 16;
}
/// Its three bytes.
static inline void way_note_bytes(WayNoteWord note, uint8_t bytes[3]) {
  bytes[0] = (uint8_t)note;
  bytes[1] = (uint8_t)(note >> 8);
  bytes[2] = (uint8_t)(note >> 16);
}

/// Where results go.  All functions are called on the caller's thread, before the
/// function that was handed the sink returns, in order of time.
typedef struct {
  void* to; ///< Handed to all functions
  /// One note message; false if there is no room for it (what must not be lost,
  /// note-offs, is then sent again later).
  bool (*note)(void* to, int64_t frame, WayNoteWord note);
  /// One MIDI message of any other kind; likewise.
  bool (*midi)(void* to, int64_t frame, const uint8_t* bytes, uint32_t size);
  /// One mark; NULL if nobody wants marks.
  void (*mark)(void* to, const WayMark* mark);
} WaySink;

#endif
