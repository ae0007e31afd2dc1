#include "theory/spelling.h"

/// Semitones of C D E F G A B above C; also of the degrees 1..7 of a major scale.
static const int8_t major_steps[7] = {0, 2, 4, 5, 7, 9, 11};
/// Places of C D E F G A B on the line of fifths.
static const int8_t fifths_of_letters[7] = {0, 2, 4, -1, 1, 3, 5};
/// The letters in the order of the line of fifths, from F.
static const int8_t letters_by_fifths[7] = {3, 0, 4, 1, 5, 2, 6};

/// Semitones of a letter `steps` above C, octaves included.
static int natural_semitones(int steps) {
  return major_steps[steps % 7] + 12 * (steps / 7);
}

WayPc way_spelling_pc(WaySpelling s) { return way_pc(major_steps[s.letter] + s.alter); }

bool way_spelling_equal(WaySpelling a, WaySpelling b) {
  return a.letter == b.letter && a.alter == b.alter;
}

int way_spelling_fifths(WaySpelling s) {
  return fifths_of_letters[s.letter] + 7 * s.alter;
}

WaySpelling way_spelling_at_fifths(int fifths) {
  const int from_f = fifths + 1;
  const int place = (from_f % 7 + 7) % 7;
  return (WaySpelling){letters_by_fifths[place], (int8_t)((from_f - place) / 7)};
}

/// Semitones one accidental adds; 0 for anything else.
static int accidental(uint32_t scalar) {
  switch (scalar) {
  case '#':
  case 0x266F: return 1; // music sharp sign
  case 'b':
  case 0x266D: return -1; // music flat sign
  case 'x':
  case 0x1D12A: return 2;  // musical symbol double sharp
  case 0x1D12B: return -2; // musical symbol double flat
  default: return 0;
  }
}

/// Read accidentals that all lean the same way; their sum goes to `*alter`.
static WayStatus read_accidentals(WayCursor* c, int8_t* alter, WayError* error) {
  int sum = 0;
  for (;;) {
    const int step = accidental(way_cursor_peek(c));
    if (!step || (sum && (sum > 0) != (step > 0))) break;
    if (sum + step > WAY_ALTER_MAX || sum + step < -WAY_ALTER_MAX)
      return way_cursor_fail(c, WAY_ERR_SYNTAX, "expected at most four accidentals",
                             error);
    sum += step;
    way_cursor_next(c);
  }
  *alter = (int8_t)sum;
  return WAY_OK;
}

WayStatus way_spelling_read(WayCursor* c, WaySpelling* out, WayError* error) {
  static const int8_t letters[7] = {5, 6, 0, 1, 2, 3, 4}; // A..G
  WayCursor ahead = *c;
  const uint32_t first = way_cursor_next(&ahead);
  const uint32_t upper = first >= 'a' && first <= 'z' ? first - 32 : first;
  if (upper < 'A' || upper > 'G')
    return way_cursor_fail(c, WAY_ERR_SYNTAX, "expected a note A to G", error);
  WaySpelling s = {letters[upper - 'A'], 0};
  if (way_cursor_peek(&ahead) == 0x266E) { // music natural sign
    way_cursor_next(&ahead);
  } else {
    const WayStatus st = read_accidentals(&ahead, &s.alter, error);
    if (st) return st;
  }
  *c = ahead;
  *out = s;
  return WAY_OK;
}

static void write_accidentals(int alter, WayOut* out) {
  for (; alter > 0; --alter) way_out_char(out, '#');
  for (; alter < 0; ++alter) way_out_char(out, 'b');
}

void way_spelling_write(WaySpelling s, WayOut* out) {
  way_out_char(out, "CDEFGAB"[s.letter]);
  write_accidentals(s.alter, out);
}

WaySpelling way_spelling_above(WaySpelling root, WayDegree degree) {
  const int steps = root.letter + degree.number - 1;
  const int sounding =
      major_steps[root.letter] + root.alter + way_degree_semitones(degree);
  return (WaySpelling){(int8_t)(steps % 7),
                       (int8_t)(sounding - natural_semitones(steps))};
}

WaySpelling way_spelling_simple(WaySpelling s) {
  // A pitch class is a natural, or lies a semitone above one natural and below another.
  const WayPc pc = way_spelling_pc(s);
  const int lean = s.alter < 0 ? -1 : 1;
  WaySpelling simple = s;
  for (int8_t letter = 0; letter < 7; ++letter) {
    if (major_steps[letter] == pc) return (WaySpelling){letter, 0};
    if (way_pc(major_steps[letter] + lean) == pc)
      simple = (WaySpelling){letter, (int8_t)lean};
  }
  return simple;
}

int way_degree_semitones(WayDegree d) {
  return natural_semitones(d.number - 1) + d.alter;
}

WayPc way_degree_pc(WayDegree d) { return way_pc(way_degree_semitones(d)); }

/// Read 1..14; 0 if there is no such number.
static int8_t read_number(WayCursor* c) {
  int n = 0;
  for (int digits = 0; digits < 3; ++digits) {
    const uint32_t digit = way_cursor_peek(c);
    if (digit < '0' || digit > '9') break;
    n = 10 * n + (int)(digit - '0');
    way_cursor_next(c);
  }
  return n <= 14 ? (int8_t)n : 0;
}

WayStatus way_degree_read(WayCursor* c, WayDegree* out, WayError* error) {
  WayCursor ahead = *c;
  WayDegree d = {1, 0};
  if (!way_cursor_skip(&ahead, "R")) {
    const WayStatus st = read_accidentals(&ahead, &d.alter, error);
    if (st) return st;
    const WayCursor number = ahead;
    d.number = read_number(&ahead);
    if (!d.number)
      return way_cursor_fail(&number, WAY_ERR_SYNTAX,
                             "expected a degree 1 to 14, or R for the root", error);
  }
  *c = ahead;
  *out = d;
  return WAY_OK;
}

void way_degree_write(WayDegree d, WayOut* out) {
  write_accidentals(d.alter, out);
  way_out_int(out, d.number);
}
