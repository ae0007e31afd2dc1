#include "theory/numeral_figure.h"

#include "theory/chord_read.h"

#include <string.h>

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

/// Families that take figures: their tones on C and the mark that names them.
static const struct {
  const char *symbol, *mark;
} families[] = {
    {"C", ""},      {"Cm", ""},        {"Cdim", "o"},       {"Caug", "+"},
    {"C7", ""},     {"Cm7", ""},       {"Cm7b5", "\u00F8"}, {"Cdim7", "o"},
    {"Cmaj7", "M"}, {"Cm(maj7)", "M"}, {"C7#5", "+"},       {"Cmaj7#5", "+M"},
};

void way_numeral_figure_plain(WayText from, WayOut* out) {
  for (WayCursor c = way_cursor(from); c.byte < from.size;) {
    const size_t at = c.byte;
    const uint32_t code = way_cursor_next(&c);
    if (code == '/' && way_is_digit(way_text_char(from, at - 1)) &&
        way_is_digit(way_text_char(from, at + 1)))
      continue;
    if (code == 0xB2 || code == 0xB3) // U+00B2 and U+00B3 are a raised 2 and 3
      way_out_char(out, (char)('0' + (code - 0xB0)));
    else if ((code >= 0x2074 && code <= 0x2079) || (code >= 0x2080 && code <= 0x2089))
      way_out_char(out, (char)('0' + code % 16));
    else
      way_out_text(out, (WayText){from.at + at, c.byte - at});
  }
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
             way_chord_invert(out, figures[f].bass);
    }
  }
  return false;
}

/**
   Copy a suffix without the accidentals between its figures (`V6b5`, `viio6#4`): case
   and mark say already what they remind of.

   @return Whether it is a figure that begins with 6 or 4 and has such accidentals.
*/
static bool drop_reminders(WayText suffix, WayOut* out) {
  size_t at = 0;
  while (at < suffix.size && !way_is_digit(suffix.at[at]) && suffix.at[at] != '#') ++at;
  way_out_text(out, (WayText){suffix.at, at});
  const size_t figure = out->size;
  bool dropped = false;
  for (; at < suffix.size; ++at) {
    const bool sign = suffix.at[at] == '#' || suffix.at[at] == 'b';
    if (!sign && !way_is_digit(suffix.at[at])) return false;
    if (!sign) way_out_char(out, suffix.at[at]);
    dropped |= sign;
  }
  const char first = out->at[figure];
  return dropped && (first == '6' || first == '4');
}

bool way_numeral_figure_read(WayText suffix, bool lower, WayChord* out) {
  if (read_figured(suffix, lower, out)) return true;
  char bare[WAY_SYMBOL_MAX];
  WayOut figure = way_out(bare, sizeof(bare));
  return drop_reminders(suffix, &figure) &&
         read_figured((WayText){bare, figure.size}, lower, out);
}

const char* way_numeral_figure_suffix(WayText figure) {
  for (size_t i = 0; i < WAY_COUNT(other_figures); ++i)
    if (way_text_is(figure, other_figures[i].figure)) return other_figures[i].suffix;
  return NULL;
}

bool way_numeral_figure_write(const WayChord* on_c, WayOut* out) {
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
