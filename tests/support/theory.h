// Short ways to write chords, keys and notes in tests.
#ifndef WAY_TESTS_THEORY_H
#define WAY_TESTS_THEORY_H

#include "check.h"
#include "theory/material.h"

/// A note by name.
static inline WaySpelling a_note(const char* name) {
  WayCursor c = way_cursor(way_text(name));
  WaySpelling s = {0, 0};
  assert_int_equal(way_spelling_read(&c, &s, NULL), WAY_OK);
  assert_int_equal(c.byte, strlen(name));
  return s;
}

/// A key by name.
static inline WayKey a_key(const char* name) {
  WayKey key = {{0, 0}, WAY_MODE_MAJOR};
  assert_int_equal(way_key_read(way_text(name), &key, NULL), WAY_OK);
  return key;
}

/// A chord by root, degrees (9, 11 and 13 are its extensions) and bass (NULL: the
/// root).
static inline WayChord a_chord(const char* root, const char* degrees,
                               const char* bass) {
  WayChord chord = {.root = a_note(root), .bass = a_note(bass ? bass : root)};
  WayCursor c = way_cursor(way_text(degrees));
  while (way_cursor_peek(&c) != WAY_TEXT_END) {
    WayDegree* const d = &chord.tones[chord.n_tones++];
    assert_int_equal(way_degree_read(&c, d, NULL), WAY_OK);
    if (d->number <= 7) chord.n_basic = chord.n_tones;
    way_cursor_skip_blanks(&c);
  }
  return chord;
}

/// The notes of a scale, separated by blanks, in a buffer of at least 64 bytes.
static inline const char* notes_of(const WayScale* s, char* buffer) {
  WayOut out = way_out(buffer, 64);
  for (unsigned i = 0; i < s->n; ++i) {
    if (i) way_out_char(&out, ' ');
    way_spelling_write(way_scale_note(s, i), &out);
  }
  return buffer;
}

#endif
