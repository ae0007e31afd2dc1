#include "theory/numeral_changes.h"

#include "theory/key_degree.h"
#include "theory/numeral_degree.h"

#include <string.h>

/// One change: a tone in place of its neighbour, or beside it.
typedef struct {
  bool added; ///< Written with a plus
  int accidental;
  int8_t number; ///< 0: not a change
} Change;

static Change next_change(WayCursor* c) {
  Change out = {way_cursor_skip(c, "+"), 0, 0};
  if (!out.added && !way_cursor_skip(c, "^")) way_cursor_skip(c, "v");
  out.accidental = way_numeral_accidentals_read(c);
  const char digit = way_text_char(c->text, c->byte);
  if (digit < '1' || digit > '9') return out;
  way_cursor_next(c);
  out.number = (int8_t)(digit - '0');
  const char ones = way_text_char(c->text, c->byte);
  if (digit == '1' && ones >= '0' && ones <= '4') {
    way_cursor_next(c);
    out.number = (int8_t)(10 + ones - '0');
  }
  return out;
}

size_t way_numeral_changes_at(WayText piece) {
  const char* const open = memchr(piece.at, '(', piece.size);
  if (!open || piece.at[piece.size - 1] != ')') return piece.size;
  const size_t at = (size_t)(open - piece.at);
  WayCursor c = way_cursor((WayText){open + 1, piece.size - at - 2});
  bool changes = false;
  while (c.byte < c.text.size) {
    const Change change = next_change(&c);
    if (!change.number) return piece.size;
    changes |= change.added || (!change.accidental && change.number < 10) ||
               (change.accidental < 0 && change.number == 6);
  }
  return changes ? at : piece.size;
}

void way_numeral_changes_apply(WayText changes, WayKey key, WayChord* chord) {
  static const int8_t below[8] = {0, 0, 1, 0, 3, 0, 5, 1};
  WayCursor c = way_cursor((WayText){changes.at + 1, changes.size - 2});
  while (c.byte < c.text.size) {
    const Change change = next_change(&c);
    WayDegree tone = way_key_degree_above(chord->root, change.number, key);
    tone.alter = (int8_t)(tone.alter + change.accidental);
    int gone = change.added || change.number > 7 ? 0 : below[change.number];
    if (gone && change.accidental > 0 && change.number < 6) gone = change.number + 1;
    const WayDegree* const old = gone ? way_chord_tone_numbered(chord, gone) : NULL;
    if (old && way_spelling_equal(chord->bass, way_spelling_above(chord->root, *old)))
      chord->bass = way_spelling_above(chord->root, tone);
    if (gone) way_chord_drop(chord, gone);
    way_chord_put(chord, tone);
  }
}
