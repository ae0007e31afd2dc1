#include "theory/chord_read.h"

#include "theory/chord_fold.h"
#include "theory/tone_words.h"

#include <string.h>

/// Longest word of the table below; behind a folded text are as many zeros.
#define WORD_CHARS WAY_FOLD_ZEROS

/// Where a word may stand.
enum {
  FIRST = 1,  ///< Right after the root
  LATER = 2,  ///< After other parts of the symbol
  FIGURE = 4, ///< A figure must follow, unless the word comes first
};

/// What the degree after a word does.
typedef enum { ALTER, ADD, OMIT } Mode;

/// One word of chord symbols and what it does to a major triad.
typedef struct {
  char text[WORD_CHARS];
  uint8_t where;
  uint8_t taken;    ///< Characters of `text` that belong to the word
  uint8_t mode;     ///< A #Mode
  WayTones clear;   ///< Tones it takes away
  WayTones set;     ///< Tones it brings
  WayTones seventh; ///< The seventh that a following 7, 9, 11 or 13 means; 0: no change
} Word;

#define WORD(text, where, clear, set, seventh)                                         \
  { text, where, sizeof(text) - 1, ALTER, clear, set, seventh }
#define MINOR_WORD(text) WORD(text, FIRST, ANY(3), FLAT(3), 0)
#define MAJOR_WORD(text) WORD(text, FIRST | LATER | FIGURE, 0, 0, NATURAL(7))
#define DELTA_WORD(text) WORD(text, FIRST | LATER, 0, NATURAL(7), NATURAL(7))
#define DIM_WORD(text)                                                                 \
  WORD(text, FIRST, ANY(3) | ANY(5), FLAT(3) | FLAT(5), DOUBLE_FLAT(7))
#define HALF_DIM_WORD(text)                                                            \
  WORD(text, FIRST, ANY(3) | ANY(5), FLAT(3) | FLAT(5) | FLAT(7), FLAT(7))
#define AUG_WORD(text, where) WORD(text, where, NATURAL(5), SHARP(5), 0)
#define SUS_WORD(text, set) WORD(text, FIRST | LATER, ANY(3), set, 0)
#define MODE_WORD(text, mode)                                                          \
  { text, FIRST | LATER, sizeof(text) - 1, mode, 0, 0, 0 }

/**
   Every word of chord symbols.  The longest that fits wins, so the order is free.

   Text is matched after folding: triangles are `^`, the circle is `o`, the slashed
   circle is `h`, superscripts are plain.
*/
static const Word words[] = {
    MINOR_WORD("m"),
    MINOR_WORD("mi"),
    MINOR_WORD("min"),
    MINOR_WORD("minor"),
    MINOR_WORD("Mi"),
    MINOR_WORD("Min"),
    MINOR_WORD("Minor"),
    MINOR_WORD("MI"),
    MINOR_WORD("MIN"),
    MINOR_WORD("-"),
    // `ma` and `Ma` must not swallow the start of `add` and `aug`
    {"madd", FIRST, 1, ALTER, ANY(3), FLAT(3), 0},
    {"maug", FIRST, 1, ALTER, ANY(3), FLAT(3), 0},
    {"Madd", FIRST, 1, ALTER, 0, 0, NATURAL(7)},
    {"Maug", FIRST, 1, ALTER, 0, 0, NATURAL(7)},
    MAJOR_WORD("M"),
    MAJOR_WORD("ma"),
    MAJOR_WORD("maj"),
    MAJOR_WORD("major"),
    MAJOR_WORD("Ma"),
    MAJOR_WORD("Maj"),
    MAJOR_WORD("Major"),
    MAJOR_WORD("MA"),
    MAJOR_WORD("MAJ"),
    MAJOR_WORD("j"),
    MAJOR_WORD("mj"),
    MAJOR_WORD("Mj"),
    DELTA_WORD("^"),
    WORD("dom", FIRST, 0, FLAT(7), FLAT(7)),
    DIM_WORD("o"),
    DIM_WORD("dim"),
    DIM_WORD("Dim"),
    DIM_WORD("DIM"),
    HALF_DIM_WORD("h"),
    HALF_DIM_WORD("hdim"),
    AUG_WORD("+", FIRST),
    AUG_WORD("+5", FIRST),
    AUG_WORD("aug", FIRST | LATER),
    AUG_WORD("Aug", FIRST | LATER),
    AUG_WORD("AUG", FIRST | LATER),
    SUS_WORD("sus", NATURAL(4)),
    SUS_WORD("sus4", NATURAL(4)),
    SUS_WORD("sus2", NATURAL(2)),
    SUS_WORD("sus24", NATURAL(2) | NATURAL(4)),
    SUS_WORD("sus42", NATURAL(2) | NATURAL(4)),
    SUS_WORD("sus2sus4", NATURAL(2) | NATURAL(4)),
    SUS_WORD("sus4sus2", NATURAL(2) | NATURAL(4)),
    SUS_WORD("sus#4", SHARP(4)),
    SUS_WORD("susb2", FLAT(2)),
    SUS_WORD("phryg", NATURAL(4) | FLAT(7) | FLAT(9)),
    WORD("alt", FIRST | LATER, ANY(5),
         FLAT(7) | FLAT(9) | SHARP(9) | SHARP(11) | FLAT(13), FLAT(7)),
    MODE_WORD("add", ADD),
    MODE_WORD("Add", ADD),
    MODE_WORD("ADD", ADD),
    MODE_WORD("no", OMIT),
    MODE_WORD("No", OMIT),
    MODE_WORD("omit", OMIT),
    MODE_WORD("Omit", OMIT),
};

// ---- Reading ----

/// A symbol being read.
typedef struct {
  char text[WAY_FOLD_MAX]; ///< Folded
  const char* at;          ///< Next character
  WaySpelling root, bass;
  WayTones tones;
  WayTones seventh;    ///< What a figure from 7 up means by its seventh
  const char* message; ///< What was expected, once reading has stopped
  const char* example; ///< Follows the message, after the root; may be NULL
  WayStatus status;
} Reader;

static bool stop(Reader* r, WayStatus status, const char* message) {
  r->status = status;
  r->message = message;
  return false;
}

static bool expected(Reader* r, const char* message) {
  return stop(r, WAY_ERR_SYNTAX, message);
}

static void skip_blanks(Reader* r) {
  while (*r->at == ' ') ++r->at;
}

/// Accidentals `#`, `b` or `x`, all of one kind, at most `most` semitones.
static bool read_accidentals(Reader* r, int most, int* alter) {
  int sum = 0;
  for (;; ++r->at) {
    const int step = *r->at == '#' ? 1 : *r->at == 'b' ? -1 : *r->at == 'x' ? 2 : 0;
    if (!step || (sum && (sum > 0) != (step > 0))) break;
    if (sum + step > most || sum + step < -most)
      return expected(r, most == WAY_ALTER_MAX ? "expected at most four accidentals"
                                               : "expected at most two accidentals");
    sum += step;
  }
  *alter = sum;
  return true;
}

static bool read_note(Reader* r, const char* message, WaySpelling* out) {
  static const int8_t letters[7] = {5, 6, 0, 1, 2, 3, 4}; // A..G
  if (*r->at < 'A' || *r->at > 'G') return expected(r, message);
  int alter = 0;
  out->letter = letters[*r->at++ - 'A'];
  if (*r->at == WAY_FOLD_NATURAL) {
    ++r->at;
    out->alter = 0;
    return true;
  }
  if (!read_accidentals(r, WAY_ALTER_MAX, &alter)) return false;
  out->alter = (int8_t)alter;
  return true;
}

/// Whether a word can start with `c`: words do with letters, `+`, `-` and `^`.
static bool starts_word(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= '^') || c == '+' || c == '-';
}

/// The longest word at the cursor that may stand here, or NULL.
static const Word* find_word(const Reader* r, unsigned where) {
  if (!starts_word(r->at[0])) return NULL;
  const Word* best = NULL;
  size_t longest = 0;
  for (size_t i = 0; i < WAY_COUNT(words); ++i) {
    const Word* const w = &words[i];
    if (w->text[0] != r->at[0] || !(w->where & where)) continue;
    size_t n = 1;
    while (n < WORD_CHARS && w->text[n] && w->text[n] == r->at[n]) ++n;
    if (n > longest && (n == WORD_CHARS || !w->text[n])) {
      best = w;
      longest = n;
    }
  }
  return best;
}

/// A degree's number: two digits from 10 on.  0 if there is none.
static int read_number(Reader* r) {
  if (!way_is_digit(*r->at)) return 0;
  int n = *r->at++ - '0';
  if (n == 1 && way_is_digit(*r->at)) n = 10 + (*r->at++ - '0');
  return n;
}

/// A capital M behind a 7 makes it the major seventh: `C7M`, `Cm7M`, `Cm(7M)`.
static void read_major_mark(Reader* r) {
  static const char others[] = "aAiI0123456789"; // of `maj`, `Madd`, `M9`
  if (*r->at != 'M' || memchr(others, r->at[1], sizeof(others) - 1)) return;
  ++r->at;
  r->seventh = NATURAL(7);
}

/// Read the figure after the root or a word: 5 6 7 9 11 13, 69 and 67.
static bool read_figure(Reader* r, bool bare) {
  const char* const start = r->at;
  const int figure = read_number(r);
  if (figure == 5 && bare) {
    r->tones &= ~ANY(3);
    return true;
  }
  if (figure == 4) {
    r->at = start;
    r->example = "sus4";
    return stop(r, WAY_ERR_UNSUPPORTED,
                "expected sus4 or add11, for a lone 4 can mean either: write ");
  }
  if (figure == 7) read_major_mark(r);
  const WayTones tones = way_tones_of_figure(figure, r->tones, r->seventh);
  if (!tones) {
    r->at = start;
    return expected(r, "expected 6, 7, 9, 11 or 13");
  }
  r->tones |= tones;
  if (figure == 6 && (*r->at == '9' || *r->at == '7'))
    r->tones |= *r->at++ == '9' ? NATURAL(9) : r->seventh;
  return true;
}

/// An altered degree of the symbol takes the place of the natural one.
static void alter_tone(Reader* r, int number, int alter) {
  if (number == 7) { // counted from the minor seventh of chord symbols: #7 is major
    r->tones |= WAY_TONE(7, alter > 0 ? 0 : alter);
    return;
  }
  r->tones &= ~WAY_TONE(number, 0);
  if (number == 2 || number == 4 || number == 6) r->tones &= ~WAY_TONE(number + 7, 0);
  r->tones |= WAY_TONE(number, alter);
}

/// Take away a degree however it is altered; a 9 is found as 2 also, and so on.
static bool omit_tone(Reader* r, int number, const char* at) {
  const int other = number > 7 ? number - 7 : number + 7;
  WayTones gone = r->tones & ANY(number);
  if (!gone && way_tones_number_ok(other)) gone = r->tones & ANY(other);
  r->tones &= ~gone;
  if (gone) return true;
  r->at = at;
  return expected(r, "expected a degree that the chord has");
}

/// Read a degree and do with it what `mode` says.
static bool read_degree(Reader* r, Mode mode) {
  const char* const start = r->at;
  int alter = 0;
  if (*r->at == '+' || *r->at == '-')
    alter = *r->at++ == '+' ? 1 : -1;
  else if (*r->at == WAY_FOLD_NATURAL)
    ++r->at;
  else if (!read_accidentals(r, WAY_TONES_ALTER_MAX, &alter))
    return false;
  const char* const at_number = r->at;
  const int number = read_number(r);
  if (!way_tones_number_ok(number)) {
    r->at = at_number;
    return expected(r, "expected a degree: 2, 3, 4, 5, 6, 7, 9, 11 or 13");
  }
  if (mode == OMIT) return omit_tone(r, number, start);
  if (mode == ALTER && alter) {
    alter_tone(r, number, alter);
  } else if (number == 7 && !alter) {
    r->at = at_number;
    if (mode == ADD) return expected(r, "expected 7 or maj7 without add");
    r->at += 1;
    read_major_mark(r);
    r->tones |= r->seventh;
  } else {
    r->tones |= WAY_TONE(number, alter);
  }
  return true;
}

/// Apply a word that was found, and read the figure that belongs to it.
static bool read_word(Reader* r, const Word* w, bool first) {
  const bool asks = (w->where & FIGURE) && !first;
  if (asks && r->seventh == w->seventh) return expected(r, "expected maj only once");
  r->at += w->taken;
  r->tones = (r->tones & ~w->clear) | w->set;
  if (w->seventh) r->seventh = w->seventh;
  if (way_is_digit(*r->at) && (first || w->seventh)) return read_figure(r, false);
  return !asks || expected(r, "expected 7, 9, 11 or 13");
}

/// What comes next in the tail of a symbol.
typedef enum { PART_END, PART_DEGREE, PART_WORD, PART_SHARP_FIFTH, PART_MARK } Part;

/// The tail of a symbol as it is read.
typedef struct {
  Mode mode;
  bool waiting;   ///< A word waits for its degree
  bool listed;    ///< A lone number is a tone to add
  unsigned depth; ///< Open parentheses
} Tail;

static bool starts_degree(const Reader* r, const Tail* t) {
  const char c = *r->at;
  return c == '#' || c == 'b' || c == WAY_FOLD_NATURAL ||
         ((c == '+' || c == '-') && way_is_digit(r->at[1])) ||
         (way_is_digit(c) && (t->listed || t->waiting));
}

/// Whether `/` goes on with a degree or with `maj`, rather than with a bass.
static bool slash_goes_on(const Reader* r) {
  static const char next[] = "12679mM^";
  return r->at[1] && memchr(next, r->at[1], sizeof(next) - 1);
}

static Part next_part(const Reader* r, const Tail* t) {
  const char c = *r->at;
  if (!c || (c == '/' && !t->depth && !slash_goes_on(r))) return PART_END;
  if (memchr("(), /", c, 5)) return PART_MARK;
  if (starts_degree(r, t)) return PART_DEGREE;
  return c == '+' ? PART_SHARP_FIFTH : PART_WORD;
}

/// Parentheses, commas, blanks, and slashes that only divide.
static bool read_mark(Reader* r, Tail* t) {
  const char c = *r->at;
  if (c == ')' && !t->depth) return expected(r, "expected ( before )");
  if (c == '(') ++t->depth;
  if (c == ')') --t->depth;
  t->listed = t->depth || c == ',' || c == '/' || (t->listed && c == ' ');
  ++r->at;
  return true;
}

static bool refuse_polychord(Reader* r) {
  return stop(r, WAY_ERR_UNSUPPORTED,
              "expected one chord and one bass note, as in C/G: a chord over a chord "
              "is not read");
}

static bool read_tail_word(Reader* r, Tail* t) {
  if (*r->at == '|' || *r->at == '\\') return refuse_polychord(r);
  const Word* const w = find_word(r, LATER);
  if (!w)
    return expected(r, "expected an alteration such as b9, or add, no, sus, or a slash "
                       "and a bass");
  t->mode = (Mode)w->mode;
  t->waiting = t->mode != ALTER;
  return read_word(r, w, false);
}

/// Everything after root, first word and figure, up to the bass.
static bool read_tail(Reader* r) {
  Tail t = {ALTER, false, false, 0};
  for (;;) {
    const Part part = next_part(r, &t);
    if (t.waiting && part != PART_DEGREE &&
        !(part == PART_MARK && memchr("( ", *r->at, 2)))
      return expected(r, "expected a degree");
    switch (part) {
    case PART_END: return !t.depth || expected(r, "expected )");
    case PART_MARK:
      if (!read_mark(r, &t)) return false;
      break;
    case PART_WORD:
      if (!read_tail_word(r, &t)) return false;
      break;
    case PART_SHARP_FIFTH:
      ++r->at;
      alter_tone(r, 5, 1);
      break;
    case PART_DEGREE:
      if (!t.waiting && !way_is_digit(*r->at)) t.mode = ALTER; // no5,b9
      if (!read_degree(r, t.mode)) return false;
      if (t.mode != OMIT || *r->at != ',') t.mode = ALTER; // no3,5
      t.waiting = false;
      break;
    }
  }
}

/// The kind of chord, between root and bass.
static bool read_quality(Reader* r) {
  const Word* const w = find_word(r, FIRST | LATER);
  if (w && w->mode == ALTER) {
    if (!read_word(r, w, true)) return false;
  } else if (way_is_digit(*r->at) && !read_figure(r, true)) {
    return false;
  }
  return read_tail(r);
}

/// Refuse what goes on after the bass: one chord over another, most likely.
static bool at_end(Reader* r) {
  skip_blanks(r);
  if (!*r->at) return true;
  if (*r->at < ' ') return expected(r, "expected only characters of a chord symbol");
  return refuse_polychord(r);
}

static bool read_bass(Reader* r) {
  if (*r->at != '/') return true;
  ++r->at;
  skip_blanks(r);
  return read_note(r, "expected a bass note A to G after the slash", &r->bass) &&
         at_end(r);
}

// ---- Harte's syntax: root:shorthand(degrees)/degree ----

/// Shorthands of Harte et al., ISMIR 2005, table 1, and those added in C. Harte's
/// thesis (2010): sus2, 1, 5 and the elevenths and thirteenths.
static const struct {
  const char text[8];
  WayTones tones;
} shorthands[] = {
    {"maj", MAJOR},
    {"min", NATURAL(1) | FLAT(3) | NATURAL(5)},
    {"dim", NATURAL(1) | FLAT(3) | FLAT(5)},
    {"aug", NATURAL(1) | NATURAL(3) | SHARP(5)},
    {"maj7", MAJOR | NATURAL(7)},
    {"min7", NATURAL(1) | FLAT(3) | NATURAL(5) | FLAT(7)},
    {"7", MAJOR | FLAT(7)},
    {"dim7", NATURAL(1) | FLAT(3) | FLAT(5) | DOUBLE_FLAT(7)},
    {"hdim7", NATURAL(1) | FLAT(3) | FLAT(5) | FLAT(7)},
    {"minmaj7", NATURAL(1) | FLAT(3) | NATURAL(5) | NATURAL(7)},
    {"maj6", MAJOR | NATURAL(6)},
    {"min6", NATURAL(1) | FLAT(3) | NATURAL(5) | NATURAL(6)},
    {"9", MAJOR | FLAT(7) | NATURAL(9)},
    {"maj9", MAJOR | NATURAL(7) | NATURAL(9)},
    {"min9", NATURAL(1) | FLAT(3) | NATURAL(5) | FLAT(7) | NATURAL(9)},
    {"11", MAJOR | FLAT(7) | NATURAL(9) | NATURAL(11)},
    {"maj11", MAJOR | NATURAL(7) | NATURAL(9) | NATURAL(11)},
    {"min11", NATURAL(1) | FLAT(3) | NATURAL(5) | FLAT(7) | NATURAL(9) | NATURAL(11)},
    {"13", MAJOR | FLAT(7) | NATURAL(9) | NATURAL(11) | NATURAL(13)},
    {"maj13", MAJOR | NATURAL(7) | NATURAL(9) | NATURAL(11) | NATURAL(13)},
    {"min13", NATURAL(1) | FLAT(3) | NATURAL(5) | FLAT(7) | NATURAL(9) | NATURAL(11) |
                  NATURAL(13)},
    {"sus2", NATURAL(1) | NATURAL(2) | NATURAL(5)},
    {"sus4", NATURAL(1) | NATURAL(4) | NATURAL(5)},
    {"1", NATURAL(1)},
    {"5", NATURAL(1) | NATURAL(5)},
};

/// A degree of Harte's syntax; 8, 10, 12 and 14 are octaves of 1, 3, 5 and 7.
static bool read_harte_degree(Reader* r, WayDegree* out) {
  int alter;
  if (!read_accidentals(r, WAY_TONES_ALTER_MAX, &alter)) return false;
  const char* const start = r->at;
  int number = read_number(r);
  if (number > 7 && !way_tones_number_ok(number) && number < 15) number -= 7;
  if (!way_tones_number_ok(number)) {
    r->at = start;
    return expected(r, "expected a degree 1 to 14");
  }
  *out = (WayDegree){(int8_t)number, (int8_t)alter};
  return true;
}

static bool read_shorthand(Reader* r) {
  size_t n = 0;
  while (r->at[n] && !memchr("(/ ", r->at[n], 3)) ++n;
  r->tones = NATURAL(1);
  if (!n && *r->at == '(') return true;
  for (size_t i = 0; i < WAY_COUNT(shorthands); ++i)
    if (strlen(shorthands[i].text) == n && !memcmp(shorthands[i].text, r->at, n)) {
      r->tones = shorthands[i].tones;
      r->at += n;
      return true;
    }
  return expected(r,
                  "expected a shorthand after the colon, such as maj, min7 or hdim7, "
                  "or degrees in parentheses");
}

static bool read_degree_list(Reader* r) {
  if (*r->at != '(') return true;
  do {
    ++r->at;
    skip_blanks(r);
    const char* const start = r->at;
    const bool omit = *r->at == '*';
    r->at += omit;
    WayDegree d;
    if (!read_harte_degree(r, &d)) return false;
    if (!omit)
      r->tones |= WAY_TONE(d.number, d.alter);
    else if (!omit_tone(r, d.number, start))
      return false;
    skip_blanks(r);
  } while (*r->at == ',');
  if (*r->at != ')') return expected(r, "expected , or )");
  ++r->at;
  return true;
}

static bool read_harte(Reader* r) {
  if (!read_shorthand(r) || !read_degree_list(r)) return false;
  if (*r->at == '/') {
    ++r->at;
    WayDegree d;
    if (!read_harte_degree(r, &d)) return false;
    r->bass = way_spelling_above(r->root, d);
    if (r->bass.alter > WAY_ALTER_MAX || r->bass.alter < -WAY_ALTER_MAX)
      r->bass = way_spelling_simple(r->bass);
  }
  skip_blanks(r);
  return !*r->at || expected(r, "expected a slash and a degree, or the end");
}

// ---- The whole symbol ----

static bool is_silence(const char* text) {
  static const char silences[][8] = {"N.C.", "N.C", "NC", "N", "n.c.", "n.c", "nc"};
  for (size_t i = 0; i < WAY_COUNT(silences); ++i)
    if (!strcmp(text, silences[i])) return true;
  return false;
}

static bool read_symbol(Reader* r) {
  if (!read_note(r, "expected a root A to G in upper case, or N.C.", &r->root))
    return false;
  r->bass = r->root;
  r->tones = MAJOR;
  r->seventh = FLAT(7);
  if (*r->at == ':') {
    ++r->at;
    return read_harte(r);
  }
  return read_quality(r) && read_bass(r);
}

/// Say where and why reading stopped.
static WayStatus report(const Reader* r, WayText text, WayError* error) {
  if (!error) return r->status;
  const WayCursor place = way_chord_fold_place(text, (size_t)(r->at - r->text));
  const char* message = r->message;
  if (*r->at == WAY_FOLD_TOO_LONG) message = "expected at most 120 characters";
  if (*r->at == WAY_FOLD_BAD)
    message = "expected only characters of a chord symbol, in UTF-8";
  way_cursor_fail(&place, r->status, message, error);
  if (r->example && message == r->message) {
    WayOut out = way_out(error->message, sizeof(error->message));
    way_out_str(&out, message);
    way_spelling_write(r->root, &out);
    way_out_str(&out, r->example);
  }
  return r->status;
}

WayStatus way_chord_read(WayText text, WayChord* out, WayError* error) {
  Reader r;
  way_chord_fold(text, r.text);
  r.at = r.text;
  r.example = NULL;
  skip_blanks(&r);
  if (is_silence(r.at)) {
    *out = way_chord_none();
    return WAY_OK;
  }
  if (!read_symbol(&r)) return report(&r, text, error);
  r.tones = way_tones_normal(r.tones);
  if (!r.tones || way_tones_count(r.tones) > WAY_CHORD_TONES_MAX) {
    expected(&r, "expected 1 to 12 different tones");
    return report(&r, text, error);
  }
  const WaySpelling bass = r.bass;
  *out = way_tones_chord(r.tones, r.root);
  out->bass = bass;
  return WAY_OK;
}
