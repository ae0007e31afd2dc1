#include "theory/note_list.h"

static bool is_digit(uint32_t c) { return c >= '0' && c <= '9'; }

static void skip_gaps(WayCursor* c) {
  while (way_cursor_skip(c, ",") || way_cursor_skip(c, " ") || way_cursor_skip(c, "\t"))
    ;
}

/// Read digits; numbers beyond 999 stay there.
static int read_number(WayCursor* c) {
  int n = 0;
  while (is_digit(way_cursor_peek(c))) {
    const int digit = (int)(way_cursor_next(c) - '0');
    n = n > 99 ? 999 : 10 * n + digit;
  }
  return n;
}

/// Read an octave number, if there is one, as the pitch of `s` in it.
static bool read_octave(WayCursor* c, WaySpelling s, int* pitch) {
  WayCursor ahead = *c;
  const bool below = way_cursor_skip(&ahead, "-");
  if (!is_digit(way_cursor_peek(&ahead))) return false;
  const int octave = read_number(&ahead);
  // The letter tells the octave: B#4 lies above B4, Cb4 below C4.
  const int natural = way_spelling_pc((WaySpelling){s.letter, 0});
  *pitch = 12 * ((below ? -octave : octave) + 1) + natural + s.alter;
  *c = ahead;
  return true;
}

/// Read one note; `*pitch` holds the note before, or -1.
static WayStatus read_note(WayCursor* c, int* pitch, WaySpelling* written,
                           WayError* error) {
  static const char unknown[] = "expected a MIDI number or a note name";
  const WayCursor start = *c;
  *written = (WaySpelling){-1, 0};
  if (is_digit(way_cursor_peek(c))) {
    *pitch = read_number(c);
  } else {
    if (way_spelling_read(c, written, error))
      return c->byte == start.byte && error && error->byte > start.byte
                 ? error->status
                 : way_cursor_fail(&start, WAY_ERR_SYNTAX, unknown, error);
    if (!read_octave(c, *written, pitch)) {
      const int above = *pitch < 0 ? 60 : *pitch + 1;
      *pitch = above + way_pc(way_spelling_pc(*written) - above);
      if (*pitch > 127) *pitch -= 12; // only its name is known
    }
  }
  if (*pitch < 0 || *pitch > 127)
    return way_cursor_fail(&start, WAY_ERR_RANGE, "expected a note from 0 to 127 (G9)",
                           error);
  const uint32_t next = way_cursor_peek(c);
  if (next != WAY_TEXT_END && next != ' ' && next != ',' && next != '\t')
    return way_cursor_fail(c, WAY_ERR_SYNTAX,
                           "expected a blank or comma after the note", error);
  return WAY_OK;
}

WayStatus way_note_list_read(WayText text, WayNoteList* out, WayError* error) {
  WayNoteList list = {.set = 0};
  for (unsigned i = 0; i < 12; ++i) list.written[i].letter = -1;
  WayCursor c = way_cursor(text);
  int lowest = 128, pitch = -1;
  skip_gaps(&c);
  do {
    WaySpelling s;
    const WayStatus st = read_note(&c, &pitch, &s, error);
    if (st) return st;
    if (s.letter >= 0) list.written[way_pc(pitch)] = s;
    if (pitch < lowest) lowest = pitch;
    list.set |= WAY_PC_BIT(way_pc(pitch));
    skip_gaps(&c);
  } while (c.byte < text.size);
  list.bass = way_pc(lowest);
  *out = list;
  return WAY_OK;
}
