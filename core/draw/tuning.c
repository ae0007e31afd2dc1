#include "draw/tuning.h"

#include "theory/spelling.h"

// Common practice: what players and string makers call these tunings.
static const struct {
  const char* name;
  WayTuning tuning;
} tunings[] = {
    {"guitar", {6, {40, 45, 50, 55, 59, 64}}},
    {"seven-string", {7, {35, 40, 45, 50, 55, 59, 64}}},
    {"eight-string", {8, {30, 35, 40, 45, 50, 55, 59, 64}}},
    {"bass", {4, {28, 33, 38, 43}}},
    {"five-string-bass", {5, {23, 28, 33, 38, 43}}},
    {"six-string-bass", {6, {23, 28, 33, 38, 43, 48}}},
    {"drop-d", {6, {38, 45, 50, 55, 59, 64}}},
    {"double-drop-d", {6, {38, 45, 50, 55, 59, 62}}},
    {"dadgad", {6, {38, 45, 50, 55, 57, 62}}},
    {"open-d", {6, {38, 45, 50, 54, 57, 62}}},
    {"open-e", {6, {40, 47, 52, 56, 59, 64}}},
    {"open-g", {6, {38, 43, 50, 55, 59, 62}}},
    {"open-a", {6, {40, 45, 52, 57, 61, 64}}},
    {"open-c", {6, {36, 43, 48, 55, 60, 64}}},
    {"fourths", {6, {40, 45, 50, 55, 60, 65}}},
    {"fifths", {4, {36, 43, 50, 57}}},
    {"mandolin", {4, {55, 62, 69, 76}}},
    {"ukulele", {4, {67, 60, 64, 69}}},
};

unsigned way_tuning_count(void) { return (unsigned)WAY_COUNT(tunings); }

const char* way_tuning_name(unsigned index) { return tunings[index].name; }

WayTuning way_tuning(unsigned index) { return tunings[index].tuning; }

static void skip_gap(WayCursor* c) {
  do way_cursor_skip_blanks(c);
  while (way_cursor_skip(c, ","));
}

static bool read_octave(WayCursor* c, int* out) {
  const bool below = way_cursor_skip(c, "-");
  const uint32_t digit = way_cursor_peek(c);
  if (digit < '0' || digit > '9') return false;
  way_cursor_next(c);
  *out = below ? -(int)(digit - '0') : (int)(digit - '0');
  return true;
}

/// One note with its octave.  B#3 is C4, as letters and octaves go together.
static WayStatus read_note(WayCursor* c, uint8_t* out, WayError* error) {
  static const int naturals[] = {0, 2, 4, 5, 7, 9, 11};
  const WayCursor start = *c;
  WaySpelling note;
  const WayStatus st = way_spelling_read(c, &note, error);
  if (st)
    return way_cursor_fail(&start, st, "expected a note such as E2, or a tuning's name",
                           error);
  int octave = 0;
  if (!read_octave(c, &octave))
    return way_cursor_fail(c, WAY_ERR_SYNTAX, "expected an octave, as in E2", error);
  const int pitch = 12 * (octave + 1) + naturals[note.letter] + note.alter;
  if (pitch < 0 || pitch > 127)
    return way_cursor_fail(&start, WAY_ERR_SYNTAX, "expected a note from C-1 to G9",
                           error);
  *out = (uint8_t)pitch;
  return WAY_OK;
}

WayStatus way_tuning_read(WayText text, WayTuning* out, WayError* error) {
  for (unsigned i = 0; i < WAY_COUNT(tunings); ++i)
    if (way_text_is_nocase(way_text_trim(text), tunings[i].name)) {
      *out = tunings[i].tuning;
      return WAY_OK;
    }
  WayTuning tuning = {0};
  WayCursor c = way_cursor(text);
  for (skip_gap(&c); way_cursor_peek(&c) != WAY_TEXT_END; skip_gap(&c)) {
    if (tuning.n == WAY_STRINGS_MAX)
      return way_cursor_fail(&c, WAY_ERR_SYNTAX, "expected at most 9 strings", error);
    const WayStatus st = read_note(&c, &tuning.open[tuning.n], error);
    if (st) return st;
    ++tuning.n;
  }
  if (tuning.n < WAY_STRINGS_MIN)
    return way_cursor_fail(&c, WAY_ERR_SYNTAX, "expected at least 4 strings", error);
  *out = tuning;
  return WAY_OK;
}
