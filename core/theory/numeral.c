#include "theory/numeral.h"

#include "theory/applied.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"
#include "theory/key_degree.h"
#include "theory/tones.h"

#include <string.h>

// ---- chords as lists of degrees ----

static bool minor_third(const WayChord* c) { return way_chord_has(c, 3, -1); }

static void drop_tone(WayChord* c, int number) {
  uint8_t kept = 0, basic = 0;
  for (uint8_t i = 0; i < c->n_tones; ++i) {
    if (c->tones[i].number == number) continue;
    if (i < c->n_basic) ++basic;
    c->tones[kept++] = c->tones[i];
  }
  c->n_tones = kept;
  c->n_basic = basic;
}

/// Put a tone in, in place of one with the same number.
static void put_tone(WayChord* c, WayDegree tone) {
  drop_tone(c, tone.number);
  if (c->n_tones == WAY_CHORD_TONES_MAX) return;
  const bool basic = tone.number < 8;
  uint8_t at = basic ? 0 : c->n_basic;
  const uint8_t end = basic ? c->n_basic : c->n_tones;
  while (at < end && c->tones[at].number < tone.number) ++at;
  memmove(c->tones + at + 1, c->tones + at,
          (size_t)(c->n_tones - at) * sizeof(c->tones[0]));
  c->tones[at] = tone;
  ++c->n_tones;
  c->n_basic = (uint8_t)(c->n_basic + basic);
}

// ---- reading ----

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

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

static char char_at(WayText t, size_t i) { return i < t.size ? t.at[i] : '\0'; }

/// Whether a figure may stand at `at`: behind a degree, a name or a quality mark, not
/// behind `sus`, `add`, `no` or an accidental.
static bool figure_may_begin(WayText t, size_t at) {
  // The last four are the last bytes of U+00F8, U+00D8, U+00B0 and U+00BA.
  static const char before[] = "IViv+%MmjnortN\xB8\x98\xB0\xBA";
  const char c = at ? t.at[at - 1] : '\0';
  if (c == 'd') return at == 3 && t.at[0] == 'C'; // Cad, but not add
  return c && strchr(before, c) && !(c == 'o' && char_at(t, at - 2) == 'n');
}

/// Whether the slash at `at` belongs to the chord (`vii/o7`, `V6/5`, `V6/4/2`, `I6/9`).
static bool slash_inside(WayText t, size_t at) {
  static const char* const pairs[] = {"64", "65", "43", "42", "69"};
  const char before = char_at(t, at - 1), after = char_at(t, at + 1);
  if (after == 'o' || after == '0') return true;
  if (!is_digit(before) || is_digit(char_at(t, at + 2))) return false;
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
    const char c = char_at(t, i);
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

/// Accidentals in front of a degree; moves `c` past them.
static int read_accidentals(WayCursor* c) {
  static const struct {
    const char* text;
    int alter;
  } signs[] = {{"#", 1},      {"b", -1},         {"\u266F", 1},     {"\u266D", -1},
               {"\u266E", 0}, {"\U0001D12A", 2}, {"\U0001D12B", -2}};
  int alter = 0;
  for (size_t i = 0; i < WAY_COUNT(signs);) {
    if (alter > -WAY_ALTER_MAX && alter < WAY_ALTER_MAX &&
        way_cursor_skip(c, signs[i].text)) {
      alter += signs[i].alter;
      i = 0;
    } else {
      ++i;
    }
  }
  return alter;
}

/// Degree letters; longest first, so that `VI` is not taken for `V`.
static const struct {
  const char *upper, *lower;
  int8_t number;
} degree_letters[] = {{"VII", "vii", 7}, {"III", "iii", 3}, {"VI", "vi", 6},
                      {"IV", "iv", 4},   {"II", "ii", 2},   {"V", "v", 5},
                      {"I", "i", 1}};

/// A degree as written.
typedef struct {
  int accidental;
  int8_t number; ///< 0: none found
  bool lower;
} Head;

static Head read_head(WayCursor* c) {
  const WayCursor start = *c;
  Head h = {read_accidentals(c), 0, false};
  for (size_t i = 0; i < WAY_COUNT(degree_letters) && !h.number; ++i) {
    h.lower = way_cursor_skip(c, degree_letters[i].lower);
    if (h.lower || way_cursor_skip(c, degree_letters[i].upper))
      h.number = degree_letters[i].number;
  }
  if (!h.number) *c = start;
  return h;
}

/// What a mark between degree and figure makes of the triad and of the seventh chord.
static const struct {
  const char* mark;
  const char *triad[2], *seventh[2]; ///< For an upper- and a lower-case degree
} marks[] = {
    {"+M", {"Caug", "Caug"}, {"Cmaj7#5", "Cmaj7#5"}},
    {"+", {"Caug", "Caug"}, {"C7#5", "C7#5"}},
    {"aug", {"Caug", "Caug"}, {"C7#5", "C7#5"}},
    {"\u00F8", {"Cm7b5", "Cm7b5"}, {"Cm7b5", "Cm7b5"}},
    {"\u00D8", {"Cm7b5", "Cm7b5"}, {"Cm7b5", "Cm7b5"}},
    {"\u2205", {"Cm7b5", "Cm7b5"}, {"Cm7b5", "Cm7b5"}},
    {"\u2300", {"Cm7b5", "Cm7b5"}, {"Cm7b5", "Cm7b5"}},
    {"%", {"Cm7b5", "Cm7b5"}, {"Cm7b5", "Cm7b5"}},
    {"/o", {"Cm7b5", "Cm7b5"}, {"Cm7b5", "Cm7b5"}},
    {"/0", {"Cm7b5", "Cm7b5"}, {"Cm7b5", "Cm7b5"}},
    {"o", {"Cdim", "Cdim"}, {"Cdim7", "Cdim7"}},
    {"0", {"Cdim", "Cdim"}, {"Cdim7", "Cdim7"}},
    {"\u00B0", {"Cdim", "Cdim"}, {"Cdim7", "Cdim7"}},
    {"\u00BA", {"Cdim", "Cdim"}, {"Cdim7", "Cdim7"}},
    {"\u1D52", {"Cdim", "Cdim"}, {"Cdim7", "Cdim7"}},
    {"dim", {"Cdim", "Cdim"}, {"Cdim7", "Cdim7"}},
    {"maj", {"C", "Cm"}, {"Cmaj7", "Cm(maj7)"}},
    {"Maj", {"C", "Cm"}, {"Cmaj7", "Cm(maj7)"}},
    {"ma", {"C", "Cm"}, {"Cmaj7", "Cm(maj7)"}},
    {"M", {"C", "Cm"}, {"Cmaj7", "Cm(maj7)"}},
    {"^", {"Cmaj7", "Cm(maj7)"}, {"Cmaj7", "Cm(maj7)"}},
    {"\u0394", {"Cmaj7", "Cm(maj7)"}, {"Cmaj7", "Cm(maj7)"}},
    {"min", {"Cm", "Cm"}, {"Cm7", "Cm7"}},
    {"mi", {"Cm", "Cm"}, {"Cm7", "Cm7"}},
    {"m", {"Cm", "Cm"}, {"Cm7", "Cm7"}},
    {"-", {"Cm", "Cm"}, {"Cm7", "Cm7"}},
    {"", {"C", "Cm"}, {"C7", "Cm7"}},
};

/// Figures of thorough bass: the chord over its bass.
static const struct {
  const char* figure;
  bool seventh;
  int8_t bass; ///< Which tone is lowest
} figures[] = {
    {"", false, 1},   {"53", false, 1}, {"6", false, 3},  {"63", false, 3},
    {"64", false, 5}, {"7", true, 1},   {"75", true, 1},  {"73", true, 1},
    {"753", true, 1}, {"65", true, 3},  {"653", true, 3}, {"43", true, 5},
    {"643", true, 5}, {"42", true, 7},  {"2", true, 7},   {"642", true, 7},
};

/// Figures that are not an inversion.
static const struct {
  const char *figure, *suffix;
} other_figures[] = {
    {"54", "sus4"}, {"4", "sus4"},   {"754", "7sus4"}, {"74", "7sus4"},
    {"52", "sus2"}, {"532", "add9"}, {"d7", "7"},
};

/// Give the chord its tone `number` as bass, from the root it has now.
static bool set_bass(WayChord* c, int number) {
  const WayDegree* const tone = way_chord_tone_numbered(c, number);
  if (tone) c->bass = way_spelling_above(c->root, *tone);
  return tone != NULL;
}

/// Read a mark and a figure as a chord on C; false if the suffix is none.
static bool read_figured(WayText suffix, bool lower, WayChord* out) {
  for (size_t m = 0; m < WAY_COUNT(marks); ++m) {
    const size_t n = strlen(marks[m].mark);
    if (n > suffix.size || memcmp(suffix.at, marks[m].mark, n) != 0) continue;
    const WayText rest = {suffix.at + n, suffix.size - n};
    for (size_t f = 0; f < WAY_COUNT(figures); ++f) {
      if (!way_text_is(rest, figures[f].figure)) continue;
      const char* const* const of =
          figures[f].seventh ? marks[m].seventh : marks[m].triad;
      return !way_chord_read(way_text(of[lower]), out, NULL) &&
             set_bass(out, figures[f].bass);
    }
  }
  return false;
}

static bool starts(WayText t, const char* word) {
  const size_t n = strlen(word);
  return t.size >= n && !memcmp(t.at, word, n);
}

/// Whether a suffix settles the third itself, so that lower case adds nothing.
static bool names_third(WayText suffix) {
  static const char* const words[] = {"-", "min",    "mi",     "dim",    "sus",
                                      "o", "+",      "aug",    "\u00F8", "\u00D8",
                                      "5", "\u00B0", "\u00BA", "7sus",   "9sus"};
  for (size_t i = 0; i < WAY_COUNT(words); ++i)
    if (starts(suffix, words[i])) return true;
  return starts(suffix, "m") && !starts(suffix, "maj") && !starts(suffix, "ma7");
}

/// The first degree of a suffix that begins with an accidental (`Vb9`, `Ib5`), else 0.
static int altered_degree(WayText suffix) {
  WayCursor c = way_cursor(suffix);
  WayDegree d;
  if (is_digit(char_at(suffix, 0)) || way_degree_read(&c, &d, NULL)) return 0;
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

/// Copy a suffix or figure with plain digits in place of raised and lowered ones, and
/// without slashes between digits.
static void copy_figures(WayText from, WayOut* out) {
  for (WayCursor c = way_cursor(from); c.byte < from.size;) {
    const size_t at = c.byte;
    const uint32_t code = way_cursor_next(&c);
    if (code == '/' && is_digit(char_at(from, at - 1)) &&
        is_digit(char_at(from, at + 1)))
      continue;
    if (code == 0xB2 || code == 0xB3) // U+00B2 and U+00B3 are a raised 2 and 3
      way_out_char(out, (char)('0' + (code - 0xB0)));
    else if ((code >= 0x2074 && code <= 0x2079) || (code >= 0x2080 && code <= 0x2089))
      way_out_char(out, (char)('0' + code % 16));
    else
      way_out_text(out, (WayText){from.at + at, c.byte - at});
  }
}

/**
   Copy a suffix without the accidentals between its figures (`V6b5`, `viio6#4`): case
   and mark say already what they remind of.

   @return Whether it is a figure that begins with 6 or 4 and has such accidentals.
*/
static bool drop_reminders(WayText suffix, WayOut* out) {
  size_t at = 0;
  while (at < suffix.size && !is_digit(suffix.at[at]) && suffix.at[at] != '#') ++at;
  way_out_text(out, (WayText){suffix.at, at});
  const size_t figure = out->size;
  bool dropped = false;
  for (; at < suffix.size; ++at) {
    const bool sign = suffix.at[at] == '#' || suffix.at[at] == 'b';
    if (!sign && !is_digit(suffix.at[at])) return false;
    if (!sign) way_out_char(out, suffix.at[at]);
    dropped |= sign;
  }
  const char first = out->at[figure];
  return dropped && (first == '6' || first == '4');
}

static WayStatus read_suffix(const Reader* r, size_t from, size_t to, const Head* h,
                             WayKey key, WayChord* out) {
  const WayText whole = {r->text.at + from, to - from};
  char buffer[WAY_SYMBOL_MAX];
  WayOut plain = way_out(buffer, sizeof(buffer));
  copy_figures(whole, &plain);
  if (plain.cut) return read_symbol(r, from, whole, h->lower, out);
  const WayText suffix = {buffer, plain.size};
  if (read_figured(suffix, h->lower, out)) return WAY_OK;
  char bare[WAY_SYMBOL_MAX];
  WayOut figure = way_out(bare, sizeof(bare));
  if (drop_reminders(suffix, &figure) &&
      read_figured((WayText){bare, figure.size}, h->lower, out))
    return WAY_OK;
  // A plain ninth over the fifth degree is the key's own: minor in a minor key.
  if (h->number == 5 && !h->lower && way_text_is(suffix, "9") && way_key_is_minor(key))
    return way_chord_read(way_text("C7b9"), out, NULL);
  for (size_t i = 0; i < WAY_COUNT(other_figures); ++i)
    if (way_text_is(suffix, other_figures[i].figure))
      return read_symbol(r, from, way_text(other_figures[i].suffix), h->lower, out);
  return read_symbol(r, from, suffix, h->lower, out);
}

/// Move a chord read on C to its degree of the key.
static WayChord on_degree(const WayChord* on_c, WayKey key, WayDegree degree) {
  return way_chord_transposed(on_c, (WaySpelling){0, 0},
                              way_spelling_above(key.tonic, degree));
}

/// Chords with names of their own instead of a degree: augmented sixths on the minor
/// scale's sixth degree, and the Neapolitan.  Aldwell & Schachter, Harmony and Voice
/// Leading (from memory).
static const struct {
  const char* name;
  WayDegree root; ///< Against the tonic's major scale
  uint8_t n;
  WayDegree tones[4];
  bool written; ///< Else read only: a plain numeral says the same
} named[] = {
    {"It", {6, -1}, 3, {{1, 0}, {3, 0}, {6, 1}}, true},
    {"Fr", {6, -1}, 4, {{1, 0}, {3, 0}, {6, 1}, {11, 1}}, true},
    {"Ger", {6, -1}, 4, {{1, 0}, {3, 0}, {5, 0}, {6, 1}}, true},
    {"Sw", {6, -1}, 4, {{1, 0}, {3, 0}, {6, 1}, {11, 2}}, true},
    {"N", {2, -1}, 3, {{1, 0}, {3, 0}, {5, 0}}, false},
};

/// Their figures.  The first that fits is the one written.
static const struct {
  const char *name, *figure;
  int8_t bass; ///< Number of the tone that is lowest
} named_figures[] = {
    {"It", "6", 1},   {"It", "", 1},   {"It", "53", 6}, {"It", "64", 3},
    {"Fr", "43", 1},  {"Fr", "", 1},   {"Fr", "6", 1},  {"Fr", "7", 11},
    {"Fr", "65", 6},  {"Fr", "42", 3}, {"Fr", "2", 3},  {"Ger", "65", 1},
    {"Ger", "", 1},   {"Ger", "6", 1}, {"Ger", "7", 6}, {"Ger", "43", 3},
    {"Ger", "42", 5}, {"Ger", "2", 5}, {"Sw", "43", 1}, {"Sw", "", 1},
    {"Sw", "7", 11},  {"Sw", "65", 6}, {"Sw", "42", 3}, {"N", "6", 3},
    {"N", "", 3},     {"N", "53", 1},  {"N", "64", 5},
};

/// The named chord of row `i` in root position.
static WayChord named_chord(size_t i, WayKey key) {
  WayChord c = way_chord_none();
  c.root = c.bass = way_spelling_above(key.tonic, named[i].root);
  c.n_tones = named[i].n;
  memcpy(c.tones, named[i].tones, named[i].n * sizeof(c.tones[0]));
  for (c.n_basic = 0; c.n_basic < c.n_tones && c.tones[c.n_basic].number < 8;)
    ++c.n_basic;
  return c;
}

/// Read `Ger65` and the like; false if the piece is none of them.
static bool read_named(WayText piece, WayKey key, WayChord* out) {
  for (size_t i = 0; i < WAY_COUNT(named); ++i) {
    if (!starts(piece, named[i].name)) continue;
    size_t skip = strlen(named[i].name);
    skip += char_at(piece, skip) == '+' && skip + 1 < piece.size; // `It+6`
    char buffer[WAY_SYMBOL_MAX];
    WayOut plain = way_out(buffer, sizeof(buffer));
    copy_figures((WayText){piece.at + skip, piece.size - skip}, &plain);
    const WayText figure = {buffer, plain.size};
    for (size_t f = 0; f < WAY_COUNT(named_figures); ++f) {
      if (strcmp(named_figures[f].name, named[i].name) != 0 ||
          !way_text_is(figure, named_figures[f].figure))
        continue;
      *out = named_chord(i, key);
      return set_bass(out, named_figures[f].bass);
    }
  }
  return false;
}

/// What stands in one pair of brackets: `no3`, `add9`, `b9`.
static WayStatus read_bracket(const Reader* r, size_t from, size_t to, WayKey key,
                              WayChord* c) {
  WayCursor at = way_cursor((WayText){r->text.at + from, to - from});
  const bool no = way_cursor_skip(&at, "no") || way_cursor_skip(&at, "omit");
  const bool add = !no && way_cursor_skip(&at, "add");
  const bool plain = is_digit(char_at(at.text, at.byte));
  WayDegree d;
  if (way_degree_read(&at, &d, NULL) || at.byte != at.text.size)
    return fail_at(r, from + at.byte, WAY_ERR_SYNTAX,
                   "expected `no`, `add` or an accidental with a degree");
  if (no) {
    drop_tone(c, d.number);
    if (!c->n_tones)
      return fail_at(r, from, WAY_ERR_SYNTAX, "expected a chord that keeps a tone");
    return WAY_OK;
  }
  put_tone(c, add && plain ? way_key_degree_above(c->root, d.number, key) : d);
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

/// One change in round brackets: a tone in place of its neighbour, or beside it.
typedef struct {
  bool added; ///< Written with a plus
  int accidental;
  int8_t number; ///< 0: not a change
} Change;

static Change next_change(WayCursor* c) {
  Change out = {way_cursor_skip(c, "+"), 0, 0};
  if (!out.added && !way_cursor_skip(c, "^")) way_cursor_skip(c, "v");
  out.accidental = read_accidentals(c);
  const char digit = char_at(c->text, c->byte);
  if (digit < '1' || digit > '9') return out;
  way_cursor_next(c);
  out.number = (int8_t)(digit - '0');
  const char ones = char_at(c->text, c->byte);
  if (digit == '1' && ones >= '0' && ones <= '4') {
    way_cursor_next(c);
    out.number = (int8_t)(10 + ones - '0');
  }
  return out;
}

/**
   Where round brackets with changes begin; `to` if there are none.

   `V(64)` and `V65(4)` are changes, `V7(b9)` and `I(add9)` chord symbols: only a plus
   or a bare 2, 4, 6, 7 or 9 makes changes of them.
*/
static size_t changes_at(const Reader* r, size_t from, size_t to) {
  const char* const open = memchr(r->text.at + from, '(', to - from);
  if (!open || r->text.at[to - 1] != ')') return to;
  const size_t at = (size_t)(open - r->text.at);
  WayCursor c = way_cursor((WayText){open + 1, to - at - 2});
  bool changes = false;
  while (c.byte < c.text.size) {
    const Change change = next_change(&c);
    if (!change.number) return to;
    changes |= change.added || (!change.accidental && change.number < 10) ||
               (change.accidental < 0 && change.number == 6);
  }
  return changes ? at : to;
}

/**
   Apply the changes in round brackets: figures above the root as the key has them.

   2, 4 and 6 stand for the tone below them, a raised 2 or 4 for the tone above, 7 for
   the root; 9 and more, and all with a plus, are added.  DCML harmony annotation
   standard, guidelines, "Suspensions and retardations" and "Added notes".
*/
static void apply_changes(const Reader* r, size_t from, size_t to, WayKey key,
                          WayChord* chord) {
  static const int8_t below[8] = {0, 0, 1, 0, 3, 0, 5, 1};
  WayCursor c = way_cursor((WayText){r->text.at + from + 1, to - from - 2});
  while (c.byte < c.text.size) {
    const Change change = next_change(&c);
    WayDegree tone = way_key_degree_above(chord->root, change.number, key);
    tone.alter = (int8_t)(tone.alter + change.accidental);
    int gone = change.added || change.number > 7 ? 0 : below[change.number];
    if (gone && change.accidental > 0 && change.number < 6) gone = change.number + 1;
    const WayDegree* const old = gone ? way_chord_tone_numbered(chord, gone) : NULL;
    if (old && way_spelling_equal(chord->bass, way_spelling_above(chord->root, *old)))
      chord->bass = way_spelling_above(chord->root, tone);
    if (gone) drop_tone(chord, gone);
    put_tone(chord, tone);
  }
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
  set_bass(out, 5);
  return WAY_OK;
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
  const Head h = read_head(&c);
  if (!h.number)
    return fail_at(r, from + c.byte, WAY_ERR_SYNTAX, "expected a degree from I to VII");
  WayChord on_c;
  const WayStatus st = read_suffix(r, from + c.byte, end, &h, key, &on_c);
  if (st) return st;
  const int alter =
      way_key_degree_alter(key.mode, h.number, h.accidental, minor_third(&on_c));
  const WayDegree degree = {h.number, (int8_t)alter};
  *out = on_degree(&on_c, key, sub ? tritone_from(degree, key) : degree);
  return WAY_OK;
}

/// Read one piece as a chord of `key`.
static WayStatus read_piece(const Reader* r, Piece p, WayKey key, WayChord* out) {
  const size_t brackets = brackets_at(r, p);
  const size_t end = changes_at(r, p.from, brackets);
  const WayText body = {r->text.at + p.from, end - p.from};
  WayStatus st = WAY_OK;
  if (starts(body, "Cad"))
    st = read_cadential(r, p, body, key, out);
  else if (!read_named(body, key, out))
    st = read_degree(r, p.from, end, key, out);
  if (st) return st;
  if (end < brackets) apply_changes(r, end, brackets, key, out);
  return read_brackets(r, brackets, p.to, key, out);
}

/// Whether the last piece names a bass: a degree above the root, or a note.
static bool is_bass(const Reader* r, Piece p) {
  WayCursor c = way_cursor((WayText){r->text.at + p.from, p.to - p.from});
  read_accidentals(&c);
  const char first = char_at(c.text, c.byte);
  return is_digit(first) || (c.byte == 0 && first >= 'A' && first <= 'G');
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
    if (i) key = (WayKey){c.root, minor_third(&c) ? WAY_MODE_MINOR : WAY_MODE_MAJOR};
  }
  if (bass && (st = read_bass(&r, pieces[n - 1], &c))) return st;
  // Tones changed one by one may have left the form every chord is kept in.
  *out = way_tones_chord(way_tones_normal(way_tones_of_chord(&c)), c.root);
  out->bass = c.bass;
  return WAY_OK;
}

// ---- writing ----

/// A degree and a chord family, ready to be written.
typedef struct {
  const char* lead; ///< `` or `sub`
  WayDegree degree; ///< Against the major scale
  WayMode mode;     ///< Of the key it is written in
} Place;

static void write_degree(const Place* p, bool third_is_minor, bool lower, WayOut* out) {
  int sign = way_key_degree_accidental(p->mode, p->degree.number, p->degree.alter,
                                       third_is_minor);
  way_out_str(out, p->lead);
  for (; sign < 0; ++sign) way_out_char(out, 'b');
  for (; sign > 0; --sign) way_out_char(out, '#');
  for (size_t i = 0; i < WAY_COUNT(degree_letters); ++i)
    if (degree_letters[i].number == p->degree.number)
      way_out_str(out, lower ? degree_letters[i].lower : degree_letters[i].upper);
}

/// Families that take figures: their tones on C and the mark that names them.
static const struct {
  const char *symbol, *mark;
} families[] = {
    {"C", ""},      {"Cm", ""},        {"Cdim", "o"},       {"Caug", "+"},
    {"C7", ""},     {"Cm7", ""},       {"Cm7b5", "\u00F8"}, {"Cdim7", "o"},
    {"Cmaj7", "M"}, {"Cm(maj7)", "M"}, {"C7#5", "+"},       {"Cmaj7#5", "+M"},
};

/// Write a family with the figure of its bass; false if the chord is of none, or its
/// bass is not one of its tones.
static bool write_figured(const WayChord* on_c, WayOut* out) {
  static const char* const triad[] = {"", "6", "64"};
  static const char* const seventh[] = {"7", "65", "43", "42"};
  for (size_t i = 0; i < WAY_COUNT(families); ++i) {
    WayChord family;
    if (way_chord_read(way_text(families[i].symbol), &family, NULL)) continue;
    const bool four = family.n_tones == 4;
    for (uint8_t t = 0; t < (four ? 4 : 3); ++t) {
      family.bass = way_spelling_above(family.root, family.tones[t]);
      if (!way_chord_equal(&family, on_c)) continue;
      // In root position the longer word is the clearer one.
      const bool plain = t == 0 && !strcmp(families[i].mark, "M");
      way_out_str(out, plain ? "maj" : families[i].mark);
      way_out_str(out, four ? seventh[t] : triad[t]);
      return true;
    }
  }
  return false;
}

/// The chord symbol's own suffix, for every other chord.
static void write_suffix(const WayChord* on_c, const Place* p, bool lower,
                         WayOut* out) {
  char buffer[WAY_SYMBOL_MAX];
  WayOut symbol = way_out(buffer, sizeof(buffer));
  WayChord rooted = *on_c;
  rooted.bass = rooted.root;
  way_chord_write(&rooted, &symbol);
  const char* suffix = buffer + 1;
  if (lower && suffix[0] == 'm') ++suffix;
  // A 6 would be a figure, and a lone 9 on the fifth degree of minor the key's own.
  const bool fifth = p->degree.number == 5 && way_key_degree_lowered(p->mode, 3) < 0;
  if (fifth && !strcmp(suffix, "9")) suffix = "7add9";
  if (starts(way_text(suffix), "dim6")) {
    way_out_str(out, "dim");
    suffix += 3;
  }
  if (starts(way_text(suffix), "6/9")) {
    way_out_str(out, "69");
    suffix += 3;
  } else if (suffix[0] == '6') {
    way_out_str(out, "add");
  }
  way_out_str(out, suffix);
}

/// Write `Ger65` and the like; false if the chord is none of them in this key.
static bool write_named(const WayChord* chord, WayKey key, WayOut* out) {
  for (size_t i = 0; i < WAY_COUNT(named); ++i) {
    if (!named[i].written) continue;
    WayChord c = named_chord(i, key);
    for (size_t f = 0; f < WAY_COUNT(named_figures); ++f) {
      if (strcmp(named_figures[f].name, named[i].name) != 0) continue;
      set_bass(&c, named_figures[f].bass);
      if (!way_chord_equal(&c, chord)) continue;
      way_out_str(out, named[i].name);
      way_out_str(out, named_figures[f].figure);
      return true;
    }
  }
  return false;
}

/// Write degree and suffix; true if a bass the figures cannot tell is still to follow.
static bool write_plain(const WayChord* chord, const Place* p, WayOut* out) {
  const bool lower = minor_third(chord);
  const WayChord on_c = way_chord_transposed(chord, chord->root, (WaySpelling){0, 0});
  write_degree(p, lower, lower, out);
  if (write_figured(&on_c, out)) return false;
  write_suffix(&on_c, p, lower, out);
  return !way_spelling_equal(chord->root, chord->bass);
}

static void write_bass(const WayChord* chord, WayOut* out) {
  way_out_char(out, '/');
  way_degree_write(way_degree_between(chord->root, chord->bass), out);
}

// ---- chords applied to a degree ----

/// How each kind is written in the target's key: by the degree of the chord's root.
static const struct {
  WayDegree root; ///< Only so spelled does the numeral read back
  const char* lead;
  WayDegree written;
} applied_names[] = {
    [WAY_APPLIED_NOT] = {{0, 0}, "", {0, 0}},
    [WAY_APPLIED_DOMINANT] = {{5, 0}, "", {5, 0}},
    [WAY_APPLIED_SUBSTITUTE] = {{2, -1}, "sub", {5, 0}},
    [WAY_APPLIED_LEADING] = {{7, 0}, "", {7, 0}},
    [WAY_APPLIED_PREDOMINANT] = {{2, 0}, "", {2, 0}},
};

/// Write an applied chord; false if the chord is none, or its letters are not those.
static bool write_applied(const WayChord* chord, const WayApplied* a, WayKey key,
                          WayOut* out) {
  const WaySpelling root = way_spelling_above(key.tonic, a->target);
  const WayDegree degree = way_degree_between(root, chord->root);
  if (degree.number != applied_names[a->kind].root.number ||
      degree.alter != applied_names[a->kind].root.alter)
    return false;
  const WayMode mode = a->target_minor ? WAY_MODE_MINOR : WAY_MODE_MAJOR;
  const Place place = {applied_names[a->kind].lead, applied_names[a->kind].written,
                       mode};
  const bool bass = write_plain(chord, &place, out);
  if (a->target.number != 1) {
    way_out_char(out, '/');
    const Place target = {"", a->target, key.mode};
    write_degree(&target, a->target_minor, a->target_minor, out);
  }
  if (bass) write_bass(chord, out);
  return true;
}

void way_numeral_write(const WayChord* chord, const WayChord* next, WayKey key,
                       WayOut* out) {
  if (way_chord_is_none(chord)) {
    way_out_str(out, "N.C.");
    return;
  }
  if (write_named(chord, key, out)) return;
  const WayApplied a = way_applied(chord, next, key);
  if (write_applied(chord, &a, key, out)) return;
  const Place place = {"", way_degree_between(key.tonic, chord->root), key.mode};
  if (write_plain(chord, &place, out)) write_bass(chord, out);
}

// ---- function ----

const char* way_function_name(WayFunction f) {
  static const char* const names[] = {"none", "tonic", "predominant", "dominant"};
  return (unsigned)f < WAY_COUNT(names) ? names[f] : "";
}

WayFunction way_numeral_function(const WayChord* chord, const WayChord* next,
                                 WayKey key) {
  // By semitones above the tonic: chords with a major third or none, with a minor one.
  static const uint8_t by_root[2][12] = {
#define N WAY_FUNCTION_NONE
#define T WAY_FUNCTION_TONIC
#define P WAY_FUNCTION_PREDOMINANT
#define D WAY_FUNCTION_DOMINANT
      {T, P, P, T, N, P, P, D, P, N, P, N},
      {T, N, P, N, T, P, P, D, N, T, N, D},
#undef N
#undef T
#undef P
#undef D
  };
  if (way_chord_is_none(chord)) return WAY_FUNCTION_NONE;
  const WayPc root =
      way_pc(way_spelling_pc(chord->root) - way_spelling_pc(key.tonic) + 12);
  const WayAppliedKind applied = way_applied(chord, next, key).kind;
  if (applied == WAY_APPLIED_PREDOMINANT) return WAY_FUNCTION_PREDOMINANT;
  if (applied) return WAY_FUNCTION_DOMINANT;
  const bool diminished = minor_third(chord) && way_chord_has(chord, 5, -1);
  // The tonic over its fifth, going to the dominant, is the cadential six-four.
  const WaySpelling fifth = way_spelling_above(key.tonic, (WayDegree){5, 0});
  if (root == 0 && way_spelling_equal(chord->bass, fifth) && next &&
      !way_chord_is_none(next) && way_spelling_pc(next->root) == way_spelling_pc(fifth))
    return WAY_FUNCTION_DOMINANT;
  // Any inversion of the leading-tone seventh is the same four notes.
  if (diminished &&
      way_pcs_has(way_chord_pcs(chord), way_pc(way_spelling_pc(key.tonic) + 11)))
    return WAY_FUNCTION_DOMINANT;
  if (root == 10 && way_chord_has(chord, 3, 0) && way_chord_has(chord, 7, -1))
    return WAY_FUNCTION_DOMINANT;
  if (diminished && root == 9) return WAY_FUNCTION_PREDOMINANT;
  return (WayFunction)by_root[minor_third(chord)][root];
}
