#include "theory/numeral_read.h"

#include "theory/chord_read.h"
#include "theory/key_degree.h"
#include "theory/numeral_changes.h"
#include "theory/numeral_degree.h"
#include "theory/numeral_figure.h"
#include "theory/numeral_named.h"
#include "theory/tones.h"

#include <string.h>

typedef struct {
  WayText text; ///< The whole numeral
  WayError* error;
} Reader;

/// One piece between slashes.
typedef struct {
  size_t from, to; ///< Bytes of the whole text
} Piece;

#define PIECES_MAX 8u

static WayStatus fail_at(const Reader* r, size_t byte, WayStatus status,
                         const char* message) {
  WayCursor c = way_cursor(r->text);
  while (c.byte < byte && way_cursor_peek(&c) != WAY_TEXT_END) way_cursor_next(&c);
  return way_cursor_fail(&c, status, message, r->error);
}

// Pieces between slashes.

/// Whether a figure may stand at `at`: behind a degree, a name or a quality mark, not
/// behind `sus`, `add`, `no` or an accidental.
static bool figure_may_begin(WayText t, size_t at) {
  // The last four are the last bytes of U+00F8, U+00D8, U+00B0 and U+00BA.
  static const char before[] = "IViv+%MmjnortN\xB8\x98\xB0\xBA";
  const char c = at ? t.at[at - 1] : '\0';
  if (c == 'd') return at == 3 && t.at[0] == 'C'; // Cad, but not add
  return c && strchr(before, c) && !(c == 'o' && way_text_char(t, at - 2) == 'n');
}

/// Whether the slash at `at` belongs to the chord (`vii/o7`, `V6/5`, `V6/4/2`, `I6/9`).
static bool slash_inside(WayText t, size_t at) {
  static const char* const pairs[] = {"64", "65", "43", "42", "69"};
  const char before = way_text_char(t, at - 1), after = way_text_char(t, at + 1);
  if (after == 'o' || after == '0') return true;
  if (!way_is_digit(before) || way_is_digit(way_text_char(t, at + 2))) return false;
  const bool third = at > 3 && t.at[at - 2] == '/' && figure_may_begin(t, at - 3);
  if (!third && !figure_may_begin(t, at - 1)) return false;
  for (size_t i = 0; i < WAY_COUNT(pairs); ++i)
    if (pairs[i][0] == before && pairs[i][1] == after) return true;
  return third && before == '5' && after == '3';
}

static WayStatus split(const Reader* r, Piece* pieces, unsigned* n) {
  const WayText t = r->text;
  int depth = 0;
  size_t from = 0;
  *n = 0;
  for (size_t i = 0; i <= t.size; ++i) {
    const char c = way_text_char(t, i);
    if (i < t.size) {
      depth += (c == '(' || c == '[') - (c == ')' || c == ']');
      if (c != '/' || depth > 0 || (i > 0 && slash_inside(t, i))) continue;
    }
    if (i == from)
      return fail_at(r, i, WAY_ERR_SYNTAX, "expected a numeral such as `V7` or `bVII`");
    if (*n == PIECES_MAX)
      return fail_at(r, from, WAY_ERR_SYNTAX, "expected at most 7 slashes");
    pieces[(*n)++] = (Piece){from, i};
    from = i + 1;
  }
  return WAY_OK;
}

// A degree and its suffix.

/// Whether a suffix settles the third itself, so that lower case adds nothing.
static bool names_third(WayText suffix) {
  static const char* const words[] = {"-", "min",    "mi",     "dim",    "sus",
                                      "o", "+",      "aug",    "\u00F8", "\u00D8",
                                      "5", "\u00B0", "\u00BA", "7sus",   "9sus"};
  for (size_t i = 0; i < WAY_COUNT(words); ++i)
    if (way_text_starts(suffix, words[i])) return true;
  return way_text_starts(suffix, "m") && !way_text_starts(suffix, "maj") &&
         !way_text_starts(suffix, "ma7");
}

/// The first degree of a suffix that begins with an accidental (`Vb9`, `Ib5`), else 0.
static int altered_degree(WayText suffix) {
  WayCursor c = way_cursor(suffix);
  WayDegree d;
  if (way_is_digit(way_text_char(suffix, 0)) || way_degree_read(&c, &d, NULL)) return 0;
  return d.alter ? d.number : 0;
}

/// Read any other suffix as the chord symbol it would be on C.
static WayStatus read_symbol(const Reader* r, size_t from, WayText suffix, bool lower,
                             WayChord* out) {
  char buffer[WAY_SYMBOL_MAX];
  WayOut symbol = way_out(buffer, sizeof(buffer));
  way_out_str(&symbol, lower && !names_third(suffix) ? "Cm" : "C");
  const int altered = altered_degree(suffix);
  if (altered) way_out_str(&symbol, altered > 7 ? "7" : "(");
  const size_t lead = symbol.size;
  way_out_text(&symbol, suffix);
  if (altered && altered <= 7) way_out_char(&symbol, ')');
  if (symbol.cut || memchr(suffix.at, '\0', suffix.size))
    return fail_at(r, from, WAY_ERR_SYNTAX, "expected a chord suffix or a figure");
  WayError inner;
  const WayStatus st = way_chord_read(way_text(buffer), out, &inner);
  if (!st) return WAY_OK;
  const size_t into = inner.byte > lead ? inner.byte - lead : 0;
  return fail_at(r, from + into, st, inner.message);
}

static WayStatus read_suffix(const Reader* r, size_t from, size_t to,
                             const WayNumeralDegree* h, WayKey key, WayChord* out) {
  const WayText whole = {r->text.at + from, to - from};
  char buffer[WAY_SYMBOL_MAX];
  WayOut plain = way_out(buffer, sizeof(buffer));
  way_numeral_figure_plain(whole, &plain);
  if (plain.cut) return read_symbol(r, from, whole, h->lower, out);
  const WayText suffix = {buffer, plain.size};
  if (way_numeral_figure_read(suffix, h->lower, out)) return WAY_OK;
  // A plain ninth over the fifth degree is the key's own: minor in a minor key.
  if (h->number == 5 && !h->lower && way_text_is(suffix, "9") && way_key_is_minor(key))
    return way_chord_read(way_text("C7b9"), out, NULL);
  const char* const meant = way_numeral_figure_suffix(suffix);
  return read_symbol(r, from, meant ? way_text(meant) : suffix, h->lower, out);
}

/// Move a chord read on C to its degree of the key.
static WayChord on_degree(const WayChord* on_c, WayKey key, WayDegree degree) {
  return way_chord_transposed(on_c, (WaySpelling){0, 0},
                              way_spelling_above(key.tonic, degree));
}

/// The degree a tritone from another, spelled as the step above what it leads to.
static WayDegree tritone_from(WayDegree degree, WayKey key) {
  const int fifths = way_spelling_fifths(way_spelling_above(key.tonic, degree));
  return way_degree_between(key.tonic, way_spelling_at_fifths(fifths - 6));
}

/// Read a degree with its suffix; the body of a piece ends at `end`.
static WayStatus read_degree(const Reader* r, size_t from, size_t end, WayKey key,
                             WayChord* out) {
  WayCursor c = way_cursor((WayText){r->text.at + from, end - from});
  const bool sub = way_cursor_skip(&c, "sub");
  const WayNumeralDegree h = way_numeral_degree_read(&c);
  if (!h.number)
    return fail_at(r, from + c.byte, WAY_ERR_SYNTAX, "expected a degree from I to VII");
  WayChord on_c;
  const WayStatus st = read_suffix(r, from + c.byte, end, &h, key, &on_c);
  if (st) return st;
  const int alter = way_key_degree_alter(key.mode, h.number, h.accidental,
                                         way_chord_has(&on_c, 3, -1));
  const WayDegree degree = {h.number, (int8_t)alter};
  *out = on_degree(&on_c, key, sub ? tritone_from(degree, key) : degree);
  return WAY_OK;
}

/// Read the tonic over its fifth, as it stands before a cadence's dominant.
static WayStatus read_cadential(const Reader* r, Piece p, WayText body, WayKey key,
                                WayChord* out) {
  if (!way_text_is(body, "Cad64") && !way_text_is(body, "Cad6/4") &&
      !way_text_is(body, "Cad"))
    return fail_at(r, p.from, WAY_ERR_SYNTAX, "expected `Cad64`");
  WayChord on_c;
  const char* const triad = way_key_is_minor(key) ? "Cm" : "C";
  const WayStatus st = way_chord_read(way_text(triad), &on_c, NULL);
  if (st) return st;
  *out = on_degree(&on_c, key, (WayDegree){1, 0});
  way_chord_invert(out, 5);
  return WAY_OK;
}

// Square brackets.

/// What stands in one pair of brackets: `no3`, `add9`, `b9`.
static WayStatus read_bracket(const Reader* r, size_t from, size_t to, WayKey key,
                              WayChord* c) {
  WayCursor at = way_cursor((WayText){r->text.at + from, to - from});
  const bool no = way_cursor_skip(&at, "no") || way_cursor_skip(&at, "omit");
  const bool add = !no && way_cursor_skip(&at, "add");
  const bool plain = way_is_digit(way_text_char(at.text, at.byte));
  WayDegree d;
  if (way_degree_read(&at, &d, NULL) || at.byte != at.text.size)
    return fail_at(r, from + at.byte, WAY_ERR_SYNTAX,
                   "expected `no`, `add` or an accidental with a degree");
  if (no) {
    way_chord_drop(c, d.number);
    if (!c->n_tones)
      return fail_at(r, from, WAY_ERR_SYNTAX, "expected a chord that keeps a tone");
    return WAY_OK;
  }
  way_chord_put(c, add && plain ? way_key_degree_above(c->root, d.number, key) : d);
  return WAY_OK;
}

static WayStatus read_brackets(const Reader* r, size_t from, size_t to, WayKey key,
                               WayChord* c) {
  while (from < to) {
    const char* const end = memchr(r->text.at + from, ']', to - from);
    if (r->text.at[from] != '[' || !end)
      return fail_at(r, from, WAY_ERR_SYNTAX, "expected `[` ... `]`");
    const size_t close = (size_t)(end - r->text.at);
    const WayStatus st = read_bracket(r, from + 1, close, key, c);
    if (st) return st;
    from = close + 1;
  }
  return WAY_OK;
}

/// Where the brackets of a piece begin; its end if it has none.
static size_t brackets_at(const Reader* r, Piece p) {
  const char* const at = memchr(r->text.at + p.from, '[', p.to - p.from);
  return at ? (size_t)(at - r->text.at) : p.to;
}

// The whole numeral.

/// Read one piece as a chord of `key`.
static WayStatus read_piece(const Reader* r, Piece p, WayKey key, WayChord* out) {
  const size_t brackets = brackets_at(r, p);
  const WayText unbracketed = {r->text.at + p.from, brackets - p.from};
  const size_t end = p.from + way_numeral_changes_at(unbracketed);
  const WayText body = {unbracketed.at, end - p.from};
  WayStatus st = WAY_OK;
  if (way_text_starts(body, "Cad"))
    st = read_cadential(r, p, body, key, out);
  else if (!way_numeral_named_read(body, key, out))
    st = read_degree(r, p.from, end, key, out);
  if (st) return st;
  const WayText changes = {r->text.at + end, brackets - end};
  if (changes.size) way_numeral_changes_apply(changes, key, out);
  return read_brackets(r, brackets, p.to, key, out);
}

/// Whether the last piece names a bass: a degree above the root, or a note.
static bool is_bass(const Reader* r, Piece p) {
  WayCursor c = way_cursor((WayText){r->text.at + p.from, p.to - p.from});
  way_numeral_accidentals_read(&c);
  const char first = way_text_char(c.text, c.byte);
  return way_is_digit(first) || (c.byte == 0 && first >= 'A' && first <= 'G');
}

static WayStatus read_bass(const Reader* r, Piece p, WayChord* c) {
  WayCursor at = way_cursor((WayText){r->text.at + p.from, p.to - p.from});
  WayDegree d;
  WaySpelling bass;
  if (!way_degree_read(&at, &d, NULL))
    bass = way_spelling_above(c->root, d);
  else if (way_spelling_read(&at, &bass, NULL))
    return fail_at(r, p.from, WAY_ERR_SYNTAX, "expected a degree or a note as bass");
  if (at.byte != at.text.size)
    return fail_at(r, p.from + at.byte, WAY_ERR_SYNTAX, "expected the end of the bass");
  c->bass = bass;
  return WAY_OK;
}

WayStatus way_numeral_read(WayText text, WayKey key, WayChord* out, WayError* error) {
  const Reader r = {text, error};
  if (way_text_is(r.text, "N.C.")) {
    *out = way_chord_none();
    return WAY_OK;
  }
  Piece pieces[PIECES_MAX];
  unsigned n;
  WayStatus st = split(&r, pieces, &n);
  if (st) return st;
  const bool bass = n > 1 && is_bass(&r, pieces[n - 1]);
  WayChord c = way_chord_none();
  for (unsigned i = n - bass; i-- > 0;) {
    if ((st = read_piece(&r, pieces[i], key, &c))) return st;
    const WayMode mode = way_chord_has(&c, 3, -1) ? WAY_MODE_MINOR : WAY_MODE_MAJOR;
    if (i) key = (WayKey){c.root, mode};
  }
  if (bass && (st = read_bass(&r, pieces[n - 1], &c))) return st;
  // Tones changed one by one may have left the form every chord is kept in.
  *out = way_tones_chord(way_tones_normal(way_tones_of_chord(&c)), c.root);
  out->bass = c.bass;
  return WAY_OK;
}
