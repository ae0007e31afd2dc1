#include "theory/key.h"
#include "theory/names.h"

typedef struct {
  const char* name;
  const char* others; // what else is read, separated by `|`
  int8_t fifths;      // signature of the mode on C
  WayPcSet set;       // semitones above the tonic
} Mode;

static const Mode modes[WAY_MODE_COUNT] = {
    [WAY_MODE_MAJOR] = {"major", "maj|ionian", 0, 0xAB5},
    [WAY_MODE_MINOR] = {"minor", "min|aeolian|natural minor", -3, 0x5AD},
    [WAY_MODE_DORIAN] = {"dorian", "dor", -2, 0x6AD},
    [WAY_MODE_PHRYGIAN] = {"phrygian", "phr", -4, 0x5AB},
    [WAY_MODE_LYDIAN] = {"lydian", "lyd", 1, 0xAD5},
    [WAY_MODE_MIXOLYDIAN] = {"mixolydian", "mix", -1, 0x6B5},
    [WAY_MODE_LOCRIAN] = {"locrian", "loc", -5, 0x56B},
};

const char* way_mode_name(WayMode mode) {
  return (unsigned)mode < WAY_MODE_COUNT ? modes[mode].name : "";
}

WayPcSet way_mode_set(WayMode mode) {
  return (unsigned)mode < WAY_MODE_COUNT ? modes[mode].set : 0;
}

WayPcSet way_key_set(WayKey key) {
  return way_pcs_move(way_mode_set(key.mode), way_spelling_pc(key.tonic));
}

int way_key_signature(WayKey key) {
  return way_spelling_fifths(key.tonic) + modes[key.mode].fifths;
}

bool way_key_equal(WayKey a, WayKey b) {
  return a.mode == b.mode && way_spelling_equal(a.tonic, b.tonic);
}

bool way_key_is_minor(WayKey key) { return !way_pcs_has(way_mode_set(key.mode), 4); }

// The mode a word stands for; WAY_MODE_COUNT if none.  A single letter keeps its case.
static WayMode find_mode(WayText word) {
  if (way_text_is(word, "m") || way_text_is(word, "-")) return WAY_MODE_MINOR;
  if (way_text_is(word, "M")) return WAY_MODE_MAJOR;
  for (int m = 0; m < WAY_MODE_COUNT; ++m)
    if (way_names_hold(modes[m].name, word) || way_names_hold(modes[m].others, word))
      return (WayMode)m;
  return WAY_MODE_COUNT;
}

WayStatus way_key_read(WayText text, WayKey* out, WayError* error) {
  WayCursor c = way_cursor(text);
  way_cursor_skip_blanks(&c);
  const bool lower = way_cursor_peek(&c) >= 'a' && way_cursor_peek(&c) <= 'g';
  WayKey key = {{0, 0}, lower ? WAY_MODE_MINOR : WAY_MODE_MAJOR};
  const WayStatus st = way_spelling_read(&c, &key.tonic, error);
  if (st) return st;
  way_cursor_skip_blanks(&c);
  const WayText rest = way_text_trim((WayText){text.at + c.byte, text.size - c.byte});
  if (rest.size) key.mode = find_mode(rest);
  if (key.mode == WAY_MODE_COUNT)
    return way_cursor_fail(&c, WAY_ERR_SYNTAX,
                           "expected a mode after the tonic: major, minor, dorian, "
                           "phrygian, lydian, mixolydian or locrian",
                           error);
  *out = key;
  return WAY_OK;
}

void way_key_write(WayKey key, WayOut* out) {
  way_spelling_write(key.tonic, out);
  way_out_char(out, ' ');
  way_out_str(out, way_mode_name(key.mode));
}

static int distance(int a, int b) { return a < b ? b - a : a - b; }

WaySpelling way_key_spell(WayKey key, WayPc pc) {
  const int tonic = way_spelling_fifths(key.tonic);
  const int middle = way_key_signature(key) + 2; // of the key's seven notes
  // The places of `pc` lie twelve fifths apart; take the one in middle-6..middle+5.
  const int low = middle - 6 + way_pc(pc * 7 - (middle - 6));
  // Six fifths below the middle is six above it as well: the tonic decides.
  if (low == middle - 6 && distance(low + 12, tonic) < distance(low, tonic))
    return way_spelling_at_fifths(low + 12);
  return way_spelling_at_fifths(low);
}
