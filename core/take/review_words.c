#include "take/review_words.h"
#include "theory/chord_write.h"

#include <string.h>

/// Widest column of chord symbols; longer ones push their line to the right.
#define CHORD_WIDTH_MAX 16

const char* way_chord_text(const WayChord* chord, char buffer[WAY_SYMBOL_MAX]) {
  WayOut out = way_out(buffer, WAY_SYMBOL_MAX);
  way_chord_write(chord, &out);
  return buffer;
}

const char* way_degree_text(WayDegree degree, char buffer[WAY_SPELLING_MAX]) {
  WayOut out = way_out(buffer, WAY_SPELLING_MAX);
  way_role_degree_write(degree, &out);
  return buffer;
}

const char* way_note_text(WaySpelling note, char buffer[WAY_SPELLING_MAX]) {
  WayOut out = way_out(buffer, WAY_SPELLING_MAX);
  way_spelling_write(note, &out);
  return buffer;
}

int way_chord_column(const WayTimeline* t) {
  size_t width = strlen("chord");
  char buffer[WAY_SYMBOL_MAX];
  for (uint32_t i = 0; i < t->n_harmonies && width < CHORD_WIDTH_MAX; ++i) {
    const size_t n = strlen(way_chord_text(&t->harmonies[i].chord, buffer));
    if (n > width) width = n < CHORD_WIDTH_MAX ? n : CHORD_WIDTH_MAX;
  }
  return (int)width;
}
