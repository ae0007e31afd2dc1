#include "theory/numeral_named.h"

#include "theory/numeral_figure.h"

#include <string.h>

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

bool way_numeral_named_read(WayText text, WayKey key, WayChord* out) {
  for (size_t i = 0; i < WAY_COUNT(named); ++i) {
    if (!way_text_starts(text, named[i].name)) continue;
    size_t skip = strlen(named[i].name);
    skip += way_text_char(text, skip) == '+' && skip + 1 < text.size; // `It+6`
    char buffer[WAY_SYMBOL_MAX];
    WayOut plain = way_out(buffer, sizeof(buffer));
    way_numeral_figure_plain((WayText){text.at + skip, text.size - skip}, &plain);
    const WayText figure = {buffer, plain.size};
    for (size_t f = 0; f < WAY_COUNT(named_figures); ++f) {
      if (strcmp(named_figures[f].name, named[i].name) != 0 ||
          !way_text_is(figure, named_figures[f].figure))
        continue;
      *out = named_chord(i, key);
      return way_chord_invert(out, named_figures[f].bass);
    }
  }
  return false;
}

bool way_numeral_named_write(const WayChord* chord, WayKey key, WayOut* out) {
  for (size_t i = 0; i < WAY_COUNT(named); ++i) {
    if (!named[i].written) continue;
    WayChord c = named_chord(i, key);
    for (size_t f = 0; f < WAY_COUNT(named_figures); ++f) {
      if (strcmp(named_figures[f].name, named[i].name) != 0) continue;
      way_chord_invert(&c, named_figures[f].bass);
      if (!way_chord_equal(&c, chord)) continue;
      way_out_str(out, named[i].name);
      way_out_str(out, named_figures[f].figure);
      return true;
    }
  }
  return false;
}
