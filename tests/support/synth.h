// A synthesizer's view of a MIDI stream: which notes are on.
#ifndef WAY_TESTS_SYNTH_H
#define WAY_TESTS_SYNTH_H

#include <stdbool.h>
#include <stdint.h>

/// Only counts; start with all zeros.
typedef struct {
  int on[16][128];     ///< Note-ons less note-offs
  int total;           ///< Sum of `on`
  unsigned stray_offs; ///< Note-offs for notes that were not on
} Synth;

/// Hear one message.
static inline void synth_hear(Synth* s, const uint8_t* bytes, uint32_t size) {
  const unsigned kind = bytes[0] & 0xF0u;
  if (size != 3 || (kind != 0x80 && kind != 0x90)) return;
  int* const on = &s->on[bytes[0] & 15][bytes[1] & 127];
  if (kind == 0x90 && bytes[2]) {
    ++*on;
    ++s->total;
  } else if (*on) {
    --*on;
    --s->total;
  } else {
    ++s->stray_offs;
  }
}

#endif
