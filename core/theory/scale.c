#include "theory/scale.h"
#include "theory/names.h"

#include <string.h>

// Spelling: seven notes take seven letters.  docs/theory.md, section "Scales", names
// the sources.
static const WayScaleType types[] = {
    {"major", "ionian|maj", "1 2 3 4 5 6 7", WAY_FAMILY_MAJOR},
    {"dorian", "", "1 2 b3 4 5 6 b7", WAY_FAMILY_MAJOR},
    {"phrygian", "", "1 b2 b3 4 5 b6 b7", WAY_FAMILY_MAJOR},
    {"lydian", "", "1 2 3 #4 5 6 7", WAY_FAMILY_MAJOR},
    {"mixolydian", "dominant", "1 2 3 4 5 6 b7", WAY_FAMILY_MAJOR},
    {"minor", "aeolian|natural minor|min", "1 2 b3 4 5 b6 b7", WAY_FAMILY_MAJOR},
    {"locrian", "", "1 b2 b3 4 b5 b6 b7", WAY_FAMILY_MAJOR},
    {"major pentatonic", "pentatonic major|pentatonic", "1 2 3 5 6", WAY_FAMILY_SIMPLE},
    {"minor pentatonic", "pentatonic minor|vietnamese 2", "1 b3 4 5 b7",
     WAY_FAMILY_SIMPLE},
    {"major blues", "blues major", "1 2 b3 3 5 6", WAY_FAMILY_SIMPLE},
    {"minor blues", "blues|blues minor|blues hexatonic", "1 b3 4 b5 5 b7",
     WAY_FAMILY_SIMPLE},
    {"melodic minor", "jazz minor|ascending melodic minor|jazz melodic minor",
     "1 2 b3 4 5 6 7", WAY_FAMILY_MELODIC},
    {"dorian b2", "phrygian #6|phrygian natural 6|melodic minor second mode",
     "1 b2 b3 4 5 6 b7", WAY_FAMILY_MELODIC},
    {"lydian augmented", "lydian #5", "1 2 3 #4 #5 6 7", WAY_FAMILY_MELODIC},
    {"lydian dominant",
     "lydian b7|overtone|acoustic|mixolydian #4|mixolydian #11|lydian mixolydian",
     "1 2 3 #4 5 6 b7", WAY_FAMILY_MELODIC},
    {"mixolydian b6",
     "melodic minor fifth mode|hindu|mixolydian b13|aeolian dominant|melodic major",
     "1 2 3 4 5 b6 b7", WAY_FAMILY_MELODIC},
    {"locrian #2", "half-diminished|aeolian b5|locrian natural 2", "1 2 b3 4 b5 b6 b7",
     WAY_FAMILY_MELODIC},
    {"altered", "super locrian|diminished whole tone|altered dominant|locrian b4",
     "1 b2 b3 b4 b5 b6 b7", WAY_FAMILY_MELODIC},
    {"harmonic minor", "aeolian natural 7|aeolian #7", "1 2 b3 4 5 b6 7",
     WAY_FAMILY_HARMONIC},
    {"locrian 6", "locrian natural 6|locrian sharp 6|locrian #6", "1 b2 b3 4 b5 6 b7",
     WAY_FAMILY_HARMONIC},
    {"major augmented", "major #5|ionian augmented|ionian #5", "1 2 3 4 #5 6 7",
     WAY_FAMILY_HARMONIC},
    {"dorian #4", "ukrainian dorian|romanian minor|altered dorian|dorian #11",
     "1 2 b3 #4 5 6 b7", WAY_FAMILY_HARMONIC},
    {"phrygian dominant",
     "spanish|phrygian major|phrygian natural 3|mixolydian b2 b6|mixolydian b9 b13",
     "1 b2 3 4 5 b6 b7", WAY_FAMILY_HARMONIC},
    {"lydian #9", "lydian #2", "1 #2 3 #4 5 6 7", WAY_FAMILY_HARMONIC},
    {"ultralocrian", "superlocrian bb7|superlocrian diminished|altered bb7",
     "1 b2 b3 b4 b5 b6 bb7", WAY_FAMILY_HARMONIC},
    {"whole tone", "limited transposition 1", "1 2 3 #4 #5 #6", WAY_FAMILY_SYMMETRIC},
    {"diminished", "whole-half diminished|whole-half", "1 2 b3 4 b5 b6 6 7",
     WAY_FAMILY_SYMMETRIC},
    {"half-whole diminished",
     "dominant diminished|limited transposition 2|half-whole|diminished dominant",
     "1 b2 b3 3 #4 5 6 b7", WAY_FAMILY_SYMMETRIC},
    {"augmented", "symmetric augmented|augmented hexatonic", "1 #2 3 5 #5 7",
     WAY_FAMILY_SYMMETRIC},
    {"six tone symmetric", "inverted augmented", "1 b2 3 4 #5 6", WAY_FAMILY_SYMMETRIC},
    {"tritone", "", "1 b2 3 b5 5 b7", WAY_FAMILY_SYMMETRIC},
    {"limited transposition 5", "", "1 b2 4 #4 5 7", WAY_FAMILY_SYMMETRIC},
    {"limited transposition 4", "", "1 b2 2 4 #4 5 b6 7", WAY_FAMILY_SYMMETRIC},
    {"limited transposition 6", "", "1 2 3 4 #4 #5 #6 7", WAY_FAMILY_SYMMETRIC},
    {"limited transposition 3", "", "1 2 b3 3 #4 5 b6 b7 7", WAY_FAMILY_SYMMETRIC},
    {"limited transposition 7", "", "1 b2 2 b3 4 #4 5 b6 6 7", WAY_FAMILY_SYMMETRIC},
    {"bebop", "bebop dominant|dominant bebop|mixolydian bebop", "1 2 3 4 5 6 b7 7",
     WAY_FAMILY_BEBOP},
    {"bebop major", "major bebop", "1 2 3 4 5 #5 6 7", WAY_FAMILY_BEBOP},
    {"bebop minor", "bebop dorian|dorian bebop", "1 2 b3 3 4 5 6 b7", WAY_FAMILY_BEBOP},
    {"minor bebop", "bebop harmonic minor", "1 2 b3 4 5 b6 b7 7", WAY_FAMILY_BEBOP},
    {"minor six diminished", "bebop melodic minor|minor 6 diminished",
     "1 2 b3 4 5 b6 6 7", WAY_FAMILY_BEBOP},
    {"bebop locrian", "", "1 b2 b3 4 b5 5 b6 b7", WAY_FAMILY_BEBOP},
    {"harmonic major", "ionian b6|major b6", "1 2 3 4 5 b6 7",
     WAY_FAMILY_HARMONIC_MAJOR},
    {"dorian b5", "locrian #2 #6", "1 2 b3 4 b5 6 b7", WAY_FAMILY_HARMONIC_MAJOR},
    {"phrygian b4", "superphrygian|altered natural 5", "1 b2 b3 b4 5 b6 b7",
     WAY_FAMILY_HARMONIC_MAJOR},
    {"lydian diminished", "lydian b3|melodic minor #4", "1 2 b3 #4 5 6 7",
     WAY_FAMILY_HARMONIC_MAJOR},
    {"mixolydian b2", "mixolydian b9", "1 b2 3 4 5 6 b7", WAY_FAMILY_HARMONIC_MAJOR},
    {"lydian augmented #2", "lydian #2 #5", "1 #2 3 #4 #5 6 7",
     WAY_FAMILY_HARMONIC_MAJOR},
    {"locrian bb7", "locrian diminished", "1 b2 b3 4 b5 b6 bb7",
     WAY_FAMILY_HARMONIC_MAJOR},
    {"double harmonic major", "gypsy|double harmonic|byzantine", "1 b2 3 4 5 b6 7",
     WAY_FAMILY_DOUBLE_HARMONIC},
    {"lydian #2 #6", "", "1 #2 3 #4 5 #6 7", WAY_FAMILY_DOUBLE_HARMONIC},
    {"ultraphrygian", "phrygian b4 bb7", "1 b2 b3 b4 5 b6 bb7",
     WAY_FAMILY_DOUBLE_HARMONIC},
    {"hungarian minor", "double harmonic minor|gypsy minor", "1 2 b3 #4 5 b6 7",
     WAY_FAMILY_DOUBLE_HARMONIC},
    {"oriental", "mixolydian b2 b5", "1 b2 3 4 b5 6 b7", WAY_FAMILY_DOUBLE_HARMONIC},
    {"ionian #2 #5", "major #2 #5", "1 #2 3 4 #5 6 7", WAY_FAMILY_DOUBLE_HARMONIC},
    {"locrian bb3 bb7", "", "1 b2 bb3 4 b5 b6 bb7", WAY_FAMILY_DOUBLE_HARMONIC},
    {"egyptian", "suspended pentatonic", "1 2 4 5 b7", WAY_FAMILY_OTHER},
    {"malkos raga", "malkauns|blues minor pentatonic", "1 b3 4 b6 b7",
     WAY_FAMILY_OTHER},
    {"ritusen", "yo|blues major pentatonic", "1 2 4 5 6", WAY_FAMILY_OTHER},
    {"ionian pentatonic", "ryukyu|okinawan", "1 3 4 5 7", WAY_FAMILY_OTHER},
    {"mixolydian pentatonic", "indian", "1 3 4 5 b7", WAY_FAMILY_OTHER},
    {"neapolitan major pentatonic", "", "1 3 4 b5 b7", WAY_FAMILY_OTHER},
    {"vietnamese 1", "", "1 b3 4 5 b6", WAY_FAMILY_OTHER},
    {"pelog", "", "1 b2 b3 5 b6", WAY_FAMILY_OTHER},
    {"kumoijoshi", "miyako-bushi", "1 b2 4 5 b6", WAY_FAMILY_OTHER},
    {"hirajoshi", "", "1 2 b3 5 b6", WAY_FAMILY_OTHER},
    {"iwato", "", "1 b2 4 b5 b7", WAY_FAMILY_OTHER},
    {"in-sen", "", "1 b2 4 5 b7", WAY_FAMILY_OTHER},
    {"lydian pentatonic", "chinese", "1 3 #4 5 7", WAY_FAMILY_OTHER},
    {"locrian pentatonic", "minor seven flat five pentatonic", "1 b3 4 b5 b7",
     WAY_FAMILY_OTHER},
    {"minor six pentatonic", "minor 6 pentatonic", "1 b3 4 5 6", WAY_FAMILY_OTHER},
    {"flat three pentatonic", "kumoi|dorian pentatonic|major b3 pentatonic",
     "1 2 b3 5 6", WAY_FAMILY_OTHER},
    {"flat six pentatonic", "major b6 pentatonic", "1 2 3 5 b6", WAY_FAMILY_OTHER},
    {"flat two pentatonic", "major b2 pentatonic", "1 b2 3 5 6", WAY_FAMILY_OTHER},
    {"whole tone pentatonic", "", "1 3 b5 b6 b7", WAY_FAMILY_OTHER},
    {"lydian #5p pentatonic", "lydian #5 pentatonic", "1 3 #4 #5 7", WAY_FAMILY_OTHER},
    {"lydian dominant pentatonic", "", "1 3 #4 5 b7", WAY_FAMILY_OTHER},
    {"minor #7m pentatonic", "minor #7 pentatonic", "1 b3 4 5 7", WAY_FAMILY_OTHER},
    {"super locrian pentatonic", "altered pentatonic", "1 b3 b4 b5 b7",
     WAY_FAMILY_OTHER},
    {"major hexatonic", "", "1 2 3 4 5 6", WAY_FAMILY_OTHER},
    {"minor hexatonic", "", "1 2 b3 4 5 7", WAY_FAMILY_OTHER},
    {"piongio", "", "1 2 4 5 6 b7", WAY_FAMILY_OTHER},
    {"prometheus", "mystic", "1 2 3 #4 6 b7", WAY_FAMILY_OTHER},
    {"prometheus neapolitan", "", "1 b2 3 #4 6 b7", WAY_FAMILY_OTHER},
    {"mystery #1", "", "1 b2 3 b5 b6 b7", WAY_FAMILY_OTHER},
    {"locrian major", "arabian|major locrian", "1 2 3 4 b5 b6 b7", WAY_FAMILY_OTHER},
    {"double harmonic lydian", "lydian b2 b6", "1 b2 3 #4 5 b6 7", WAY_FAMILY_OTHER},
    {"augmented heptatonic", "", "1 #2 3 4 5 b6 7", WAY_FAMILY_OTHER},
    {"leading whole tone", "lydian augmented #6", "1 2 3 #4 #5 #6 7", WAY_FAMILY_OTHER},
    {"lydian minor", "lydian b6 b7", "1 2 3 #4 5 b6 b7", WAY_FAMILY_OTHER},
    {"balinese", "neapolitan minor|phrygian #7|phrygian natural 7", "1 b2 b3 4 5 b6 7",
     WAY_FAMILY_OTHER},
    {"neapolitan major", "", "1 b2 b3 4 5 6 7", WAY_FAMILY_OTHER},
    {"hungarian major", "lydian #2 b7", "1 #2 3 #4 5 6 b7", WAY_FAMILY_OTHER},
    {"romanian major", "", "1 b2 3 #4 5 6 b7", WAY_FAMILY_OTHER},
    {"flamenco", "", "1 b2 b3 b4 b5 bb6 b7", WAY_FAMILY_OTHER},
    {"todi raga", "todi", "1 b2 b3 #4 5 b6 7", WAY_FAMILY_OTHER},
    {"persian", "", "1 b2 3 4 b5 b6 7", WAY_FAMILY_OTHER},
    {"enigmatic", "", "1 b2 3 #4 #5 #6 7", WAY_FAMILY_OTHER},
    {"purvi raga", "purvi", "1 b2 3 4 #4 5 b6 7", WAY_FAMILY_OTHER},
    {"spanish heptatonic", "eight-tone spanish|spanish phrygian", "1 b2 b3 3 4 5 b6 b7",
     WAY_FAMILY_OTHER},
    {"ichikosucho", "", "1 2 3 4 b5 5 6 7", WAY_FAMILY_OTHER},
    {"composite blues", "", "1 2 b3 3 4 b5 5 6 b7", WAY_FAMILY_OTHER},
    {"kafi raga", "kafi", "1 b3 3 4 5 6 b7 7", WAY_FAMILY_OTHER},
    {"chromatic", "", "1 b2 2 b3 3 4 b5 5 b6 6 b7 7", WAY_FAMILY_OTHER},
};

const char* way_scale_family_name(WayScaleFamily family) {
  static const char* const names[WAY_FAMILY_COUNT] = {
      [WAY_FAMILY_MAJOR] = "modes of major",
      [WAY_FAMILY_SIMPLE] = "pentatonic and blues",
      [WAY_FAMILY_MELODIC] = "modes of melodic minor",
      [WAY_FAMILY_HARMONIC] = "modes of harmonic minor",
      [WAY_FAMILY_SYMMETRIC] = "symmetric",
      [WAY_FAMILY_BEBOP] = "bebop",
      [WAY_FAMILY_HARMONIC_MAJOR] = "modes of harmonic major",
      [WAY_FAMILY_DOUBLE_HARMONIC] = "modes of double harmonic",
      [WAY_FAMILY_OTHER] = "other",
  };
  return (unsigned)family < WAY_FAMILY_COUNT ? names[family] : "";
}

unsigned way_scale_count(void) { return WAY_COUNT(types); }

const WayScaleType* way_scale_type(unsigned index) {
  return index < WAY_COUNT(types) ? &types[index] : NULL;
}

static const WayScaleType* find(WayText name) {
  for (size_t i = 0; i < WAY_COUNT(types); ++i)
    if (way_names_hold(types[i].name, name) || way_names_hold(types[i].others, name))
      return &types[i];
  return NULL;
}

const WayScaleType* way_scale_find(WayText name) {
  // "blues scale" is "blues", but "melodic minor fifth mode" is a name of its own.
  static const char* const words[] = {"scale", "mode"};
  const WayScaleType* found = find(name);
  name = way_text_trim(name);
  for (size_t i = 0; !found && i < WAY_COUNT(words); ++i) {
    const size_t n = strlen(words[i]);
    if (name.size <= n) continue;
    const WayText last = {name.at + name.size - n, n};
    if (way_text_is_nocase(last, words[i]))
      found = find((WayText){name.at, name.size - n});
  }
  return found;
}

// The semitones a formula stands for; way_degree_read() would do, but not as fast.
static WayPcSet formula_set(const char* formula) {
  static const uint8_t major[8] = {0, 0, 2, 4, 5, 7, 9, 11};
  WayPcSet set = 0;
  int alter = 0;
  for (; *formula; ++formula) {
    if (*formula == 'b') --alter;
    if (*formula == '#') ++alter;
    if (*formula >= '1' && *formula <= '7')
      set |= WAY_PC_BIT(way_pc(major[*formula - '0'] + alter));
    if (*formula == ' ') alter = 0;
  }
  return set;
}

const WayScaleType* way_scale_of_set(WayPcSet set) {
  for (size_t i = 0; i < WAY_COUNT(types); ++i)
    if (formula_set(types[i].formula) == set) return &types[i];
  return NULL;
}

WayStatus way_scale_read(WayText text, WayScale* out, WayError* error) {
  WayCursor c = way_cursor(text);
  way_cursor_skip_blanks(&c);
  WaySpelling tonic;
  const WayStatus st = way_spelling_read(&c, &tonic, error);
  if (st) return st;
  const uint32_t after = way_cursor_peek(&c);
  if (after != ' ' && after != '\t')
    return way_cursor_fail(&c, WAY_ERR_SYNTAX,
                           "expected a blank and the name of a scale after the tonic",
                           error);
  way_cursor_skip_blanks(&c);
  const WayScaleType* const type =
      way_scale_find((WayText){text.at + c.byte, text.size - c.byte});
  if (!type)
    return way_cursor_fail(&c, WAY_ERR_SYNTAX,
                           "expected the name of a scale, such as dorian or blues",
                           error);
  *out = way_scale_on(tonic, type);
  return WAY_OK;
}

WayScale way_scale_on(WaySpelling tonic, const WayScaleType* type) {
  WayScale s = {.tonic = tonic, .type = type};
  WayCursor c = way_cursor(way_text(type->formula));
  while (s.n < WAY_SCALE_NOTES_MAX && !way_degree_read(&c, &s.degrees[s.n], NULL)) {
    ++s.n;
    way_cursor_skip_blanks(&c);
  }
  return s;
}

WayPcSet way_scale_pcs(const WayScale* s) {
  WayPcSet set = 0;
  const int tonic = way_spelling_pc(s->tonic);
  for (unsigned i = 0; i < s->n; ++i)
    set |= WAY_PC_BIT(way_pc(tonic + way_degree_pc(s->degrees[i])));
  return set;
}

WaySpelling way_scale_note(const WayScale* s, unsigned i) {
  return way_spelling_above(s->tonic, s->degrees[i]);
}

WayDegree way_scale_degree(WaySpelling tonic, WaySpelling note) {
  WayDegree d = {(int8_t)((note.letter - tonic.letter + 7) % 7 + 1), 0};
  const int up = way_pc(way_spelling_pc(note) - way_spelling_pc(tonic));
  const int alter = way_pc(up - way_degree_pc(d) + 6) - 6; // the nearer way round
  d.alter = (int8_t)alter;
  return d;
}
