#include "theory/scale.h"
#include "theory/names.h"

#include <string.h>

// Spelling: seven notes take seven letters.  docs/theory.md, section "Scales", names
// the sources.
static const WayScaleType types[] = {
    // modes of the major scale
    {"major", "ionian|maj", "1 2 3 4 5 6 7"},
    {"dorian", "", "1 2 b3 4 5 6 b7"},
    {"phrygian", "", "1 b2 b3 4 5 b6 b7"},
    {"lydian", "", "1 2 3 #4 5 6 7"},
    {"mixolydian", "dominant", "1 2 3 4 5 6 b7"},
    {"minor", "aeolian|natural minor|min", "1 2 b3 4 5 b6 b7"},
    {"locrian", "", "1 b2 b3 4 b5 b6 b7"},
    // modes of the melodic minor scale
    {"melodic minor", "jazz minor|ascending melodic minor|jazz melodic minor",
     "1 2 b3 4 5 6 7"},
    {"dorian b2", "phrygian #6|phrygian natural 6|melodic minor second mode",
     "1 b2 b3 4 5 6 b7"},
    {"lydian augmented", "lydian #5", "1 2 3 #4 #5 6 7"},
    {"lydian dominant",
     "lydian b7|overtone|acoustic|mixolydian #4|mixolydian #11|lydian mixolydian",
     "1 2 3 #4 5 6 b7"},
    {"mixolydian b6",
     "melodic minor fifth mode|hindu|mixolydian b13|aeolian dominant|melodic major",
     "1 2 3 4 5 b6 b7"},
    {"locrian #2", "half-diminished|aeolian b5|locrian natural 2", "1 2 b3 4 b5 b6 b7"},
    {"altered",
     "super locrian|diminished whole tone|pomeroy|altered dominant|locrian b4",
     "1 b2 b3 b4 b5 b6 b7"},
    // modes of the harmonic minor scale
    {"harmonic minor", "aeolian natural 7|aeolian #7", "1 2 b3 4 5 b6 7"},
    {"locrian 6", "locrian natural 6|locrian sharp 6|locrian #6", "1 b2 b3 4 b5 6 b7"},
    {"major augmented", "major #5|ionian augmented|ionian #5", "1 2 3 4 #5 6 7"},
    {"dorian #4", "ukrainian dorian|romanian minor|altered dorian|dorian #11",
     "1 2 b3 #4 5 6 b7"},
    {"phrygian dominant",
     "spanish|phrygian major|phrygian natural 3|mixolydian b2 b6|mixolydian b9 b13",
     "1 b2 3 4 5 b6 b7"},
    {"lydian #9", "lydian #2", "1 #2 3 #4 5 6 7"},
    {"ultralocrian", "superlocrian bb7|superlocrian diminished|altered bb7",
     "1 b2 b3 b4 b5 b6 bb7"},
    // modes of the harmonic major scale
    {"harmonic major", "ionian b6|major b6", "1 2 3 4 5 b6 7"},
    {"dorian b5", "locrian #2 #6", "1 2 b3 4 b5 6 b7"},
    {"phrygian b4", "superphrygian|altered natural 5", "1 b2 b3 b4 5 b6 b7"},
    {"lydian diminished", "lydian b3|melodic minor #4", "1 2 b3 #4 5 6 7"},
    {"mixolydian b2", "mixolydian b9", "1 b2 3 4 5 6 b7"},
    {"lydian augmented #2", "lydian #2 #5", "1 #2 3 #4 #5 6 7"},
    {"locrian bb7", "locrian diminished", "1 b2 b3 4 b5 b6 bb7"},
    // modes of the double harmonic scale
    {"double harmonic major", "gypsy|double harmonic|byzantine", "1 b2 3 4 5 b6 7"},
    {"lydian #2 #6", "", "1 #2 3 #4 5 #6 7"},
    {"ultraphrygian", "phrygian b4 bb7", "1 b2 b3 b4 5 b6 bb7"},
    {"hungarian minor", "double harmonic minor|gypsy minor", "1 2 b3 #4 5 b6 7"},
    {"oriental", "mixolydian b2 b5", "1 b2 3 4 b5 6 b7"},
    {"ionian #2 #5", "major #2 #5", "1 #2 3 4 #5 6 7"},
    {"locrian bb3 bb7", "", "1 b2 bb3 4 b5 b6 bb7"},
    // pentatonic
    {"major pentatonic", "pentatonic major|pentatonic", "1 2 3 5 6"},
    {"minor pentatonic", "pentatonic minor|vietnamese 2", "1 b3 4 5 b7"},
    {"egyptian", "suspended pentatonic", "1 2 4 5 b7"},
    {"malkos raga", "malkauns|blues minor pentatonic", "1 b3 4 b6 b7"},
    {"ritusen", "yo|blues major pentatonic", "1 2 4 5 6"},
    {"ionian pentatonic", "ryukyu|okinawan", "1 3 4 5 7"},
    {"mixolydian pentatonic", "indian", "1 3 4 5 b7"},
    {"neapolitan major pentatonic", "", "1 3 4 b5 b7"},
    {"vietnamese 1", "", "1 b3 4 5 b6"},
    {"pelog", "", "1 b2 b3 5 b6"},
    {"kumoijoshi", "miyako-bushi", "1 b2 4 5 b6"},
    {"hirajoshi", "", "1 2 b3 5 b6"},
    {"iwato", "", "1 b2 4 b5 b7"},
    {"in-sen", "", "1 b2 4 5 b7"},
    {"lydian pentatonic", "chinese", "1 3 #4 5 7"},
    {"locrian pentatonic", "minor seven flat five pentatonic", "1 b3 4 b5 b7"},
    {"minor six pentatonic", "minor 6 pentatonic", "1 b3 4 5 6"},
    {"flat three pentatonic", "kumoi|dorian pentatonic|major b3 pentatonic",
     "1 2 b3 5 6"},
    {"flat six pentatonic", "major b6 pentatonic", "1 2 3 5 b6"},
    {"scriabin", "", "1 b2 3 5 6"},
    {"whole tone pentatonic", "", "1 3 b5 b6 b7"},
    {"lydian #5p pentatonic", "lydian #5 pentatonic", "1 3 #4 #5 7"},
    {"lydian dominant pentatonic", "", "1 3 #4 5 b7"},
    {"minor #7m pentatonic", "minor #7 pentatonic", "1 b3 4 5 7"},
    {"super locrian pentatonic", "altered pentatonic", "1 b3 b4 b5 b7"},
    // blues
    {"major blues", "blues major", "1 2 b3 3 5 6"},
    {"minor blues", "blues|blues minor|blues hexatonic", "1 b3 4 b5 5 b7"},
    {"composite blues", "", "1 2 b3 3 4 b5 5 6 b7"},
    // six notes
    {"major hexatonic", "", "1 2 3 4 5 6"},
    {"minor hexatonic", "", "1 2 b3 4 5 b7"},
    {"augmented", "symmetric augmented|augmented hexatonic", "1 #2 3 5 #5 7"},
    {"six tone symmetric", "inverted augmented", "1 b2 3 4 #5 6"},
    {"whole tone", "messiaen's mode #1", "1 2 3 #4 #5 #6"},
    {"piongio", "", "1 2 4 5 6 b7"},
    {"prometheus", "mystic", "1 2 3 #4 6 b7"},
    {"prometheus neapolitan", "", "1 b2 3 #4 6 b7"},
    {"mystery #1", "", "1 b2 3 b5 b6 b7"},
    {"tritone", "petrushka", "1 b2 3 b5 5 b7"},
    {"messiaen's mode #5", "", "1 b2 4 #4 5 7"},
    // other scales of seven notes
    {"locrian major", "arabian|major locrian", "1 2 3 4 b5 b6 b7"},
    {"double harmonic lydian", "lydian b2 b6", "1 b2 3 #4 5 b6 7"},
    {"augmented heptatonic", "", "1 #2 3 4 5 b6 7"},
    {"leading whole tone", "lydian augmented #6", "1 2 3 #4 #5 #6 7"},
    {"lydian minor", "lydian b6 b7", "1 2 3 #4 5 b6 b7"},
    {"balinese", "neapolitan minor|phrygian #7|phrygian natural 7", "1 b2 b3 4 5 b6 7"},
    {"neapolitan major", "", "1 b2 b3 4 5 6 7"},
    {"hungarian major", "lydian #2 b7", "1 #2 3 #4 5 6 b7"},
    {"romanian major", "", "1 b2 3 #4 5 6 b7"},
    {"flamenco", "", "1 b2 b3 b4 b5 bb6 b7"},
    {"todi raga", "todi", "1 b2 b3 #4 5 b6 7"},
    {"persian", "", "1 b2 3 4 b5 b6 7"},
    {"enigmatic", "", "1 b2 3 #4 #5 #6 7"},
    // bebop and other scales of eight notes and more
    {"bebop", "bebop dominant|dominant bebop|mixolydian bebop", "1 2 3 4 5 6 b7 7"},
    {"bebop major", "major bebop", "1 2 3 4 5 #5 6 7"},
    {"bebop minor", "bebop dorian|dorian bebop", "1 2 b3 3 4 5 6 b7"},
    {"minor bebop", "bebop harmonic minor", "1 2 b3 4 5 b6 b7 7"},
    {"minor six diminished", "bebop melodic minor|minor 6 diminished",
     "1 2 b3 4 5 b6 6 7"},
    {"bebop locrian", "", "1 b2 b3 4 b5 5 b6 b7"},
    {"diminished", "whole-half diminished|whole-half", "1 2 b3 4 b5 b6 6 7"},
    {"half-whole diminished",
     "dominant diminished|messiaen's mode #2|half-whole|diminished dominant",
     "1 b2 b3 3 #4 5 6 b7"},
    {"messiaen's mode #4", "", "1 b2 2 4 #4 5 b6 7"},
    {"messiaen's mode #6", "", "1 2 3 4 #4 #5 #6 7"},
    {"purvi raga", "purvi", "1 b2 3 4 #4 5 b6 7"},
    {"spanish heptatonic", "eight-tone spanish|spanish phrygian",
     "1 b2 b3 3 4 5 b6 b7"},
    {"ichikosucho", "", "1 2 3 4 b5 5 6 7"},
    {"kafi raga", "kafi", "1 b3 3 4 5 6 b7 7"},
    {"messiaen's mode #3", "", "1 2 b3 3 #4 5 b6 b7 7"},
    {"messiaen's mode #7", "", "1 b2 2 b3 4 #4 5 b6 6 7"},
    {"chromatic", "", "1 b2 2 b3 3 4 b5 5 b6 6 b7 7"},
};

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
