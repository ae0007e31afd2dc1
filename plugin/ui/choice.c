#include "choice.h"

#include <math.h>
#include <string.h>

#define FRETS_IN_HAND 4u // from the first finger's fret to the last shown
#define FRETS_ALL 12u
#define OCTAVES 3

// The names of controls are those of ttl/waymark.ttl.
static const char* const handlings[] = {"tag", "filter", "snap", "soften", NULL};
static const char* const materials[] = {"triad",  "seventh",     "pentatonic", "blues",
                                        "parent", "chord-scale", "all",        NULL};
static const char* const sources[] = {"auto",    "chart", "track",
                                      "channel", "held",  NULL};
static const char* const snaps[] = {"nearest", "up", "down", NULL};
static const char* const helds[] = {"keep", "release", "move", NULL};
static const char* const clicks[] = {"off", "changes", "bars", "beats", NULL};
static const char* const switches[] = {"off", "on", NULL};
static const char* const views[] = {"full", "stage", NULL};
static const char* const themes[] = {"light", "dark", "contrast", NULL};
static const char* const signs[] = {"degrees", "notes", NULL};
static const char* const hands[] = {"right", "left", NULL};

static const WayChoice choices[WAY_CHOICE_COUNT] = {
    [WAY_CHOICE_STAGE] = {"stage", "of practice, 1 to 8", 'w', WAY_CHOICE_OF_STAGE, 1,
                          WAY_STAGES, 1, WAY_STAGE_OWN, NULL},
    [WAY_CHOICE_HANDLING] = {"handling", "notes outside the material", 'h',
                             WAY_CONTROL_HANDLING, 0, 3, 1, 0, handlings},
    [WAY_CHOICE_MATERIAL] = {"material", "the pitches in play", 'm',
                             WAY_CONTROL_MATERIAL, 0, 6, 1, 5, materials},
    [WAY_CHOICE_SOURCE] = {"chords", "where the chords come from", 'c',
                           WAY_CONTROL_SOURCE, 0, 4, 1, 0, sources},
    [WAY_CHOICE_EARLY] = {"early", "beats in which the next chord counts", 'e',
                          WAY_CONTROL_EARLY, 0, 4, 0.25f, 0, NULL},
    [WAY_CHOICE_CLICK] = {"click", "the guide tone of the chord, clicked", 'k',
                          WAY_CONTROL_CLICK, 0, 3, 1, 0, clicks},
    [WAY_CHOICE_INSTRUMENT] = {"instrument", "fretboard by tuning, or keyboard", 'i',
                               WAY_CHOICE_OF_LOOK, 0, 0, 1, 0, NULL},
    [WAY_CHOICE_FRETS] = {"frets", "all, the best position, or your own", 'f',
                          WAY_CHOICE_OF_LOOK, 0, 22, 1, 0, NULL},
    [WAY_CHOICE_VIEW] = {"view", "all, or what shows from far off", 'v',
                         WAY_CHOICE_OF_LOOK, 0, 1, 1, 0, views},
    [WAY_CHOICE_THEME] = {"theme", "light, dark, or black and white", 't',
                          WAY_CHOICE_OF_LOOK, 0, 2, 1, 1, themes},
    [WAY_CHOICE_SNAP] = {"snap", "which way snapped notes move", 's', WAY_CONTROL_SNAP,
                         0, 2, 1, 0, snaps},
    [WAY_CHOICE_HELD] = {"held notes", "outside the material at a change", 'd',
                         WAY_CONTROL_HELD, 0, 2, 1, 0, helds},
    [WAY_CHOICE_TAGS] = {"tag channel", "channel of chord tones; 0 off", 'x',
                         WAY_CONTROL_TAG_CHANNEL, 0, 14, 1, 0, NULL},
    [WAY_CHOICE_CLICK_LEAD] = {"click lead-in", "beats before a change that click", 'b',
                               WAY_CONTROL_CLICK_LEAD, 0, 8, 1, 0, NULL},
    [WAY_CHOICE_ENABLED] = {"guide", "off: notes pass unchanged", 'g',
                            WAY_CONTROL_ENABLED, 0, 1, 1, 1, switches},
    [WAY_CHOICE_SIGNS] = {"signs", "what the signs say", 'n', WAY_CHOICE_OF_LOOK, 0, 1,
                          1, 0, signs},
    [WAY_CHOICE_CAPO] = {"capo", "its fret", 'a', WAY_CHOICE_OF_LOOK, 0, 12, 1, 0,
                         NULL},
    [WAY_CHOICE_HAND] = {"hand", "a left-handed fretboard", 'l', WAY_CHOICE_OF_LOOK, 0,
                         1, 1, 0, hands},
    [WAY_CHOICE_OCTAVE] = {"octave", "the keys shown, up or down", 'o',
                           WAY_CHOICE_OF_LOOK, -OCTAVES, OCTAVES, 1, 0, NULL},
    [WAY_CHOICE_STRINGS] = {"strings by channel",
                            "channel of the highest string; 0 off", 'r',
                            WAY_CHOICE_OF_LOOK, 0, 16, 1, 0, NULL},
};

const WayChoice* way_choice(WayChoiceId id) { return &choices[id]; }

WayChoiceId way_choice_by_key(uint32_t key) {
  const uint32_t low = key >= 'A' && key <= 'Z' ? key + ('a' - 'A') : key;
  unsigned i = 0;
  while (i < WAY_CHOICE_COUNT && (uint32_t)choices[i].key != low) ++i;
  return (WayChoiceId)i;
}

WayChoiceId way_choice_by_control(unsigned control) {
  unsigned i = 0;
  while (i < WAY_CHOICE_COUNT && choices[i].control != control) ++i;
  return (WayChoiceId)i;
}

/// The highest value; that of instruments is the keyboard, behind all tunings.
static float most_of(WayChoiceId id) {
  return id == WAY_CHOICE_INSTRUMENT ? (float)way_tuning_count() : choices[id].most;
}

/// Whether what follows the last value is the first.
static bool goes_round(WayChoiceId id) {
  return choices[id].names || id == WAY_CHOICE_INSTRUMENT || id == WAY_CHOICE_STAGE;
}

float way_choice_clamped(WayChoiceId id, float value) {
  const WayChoice* const c = &choices[id];
  if (!(value >= c->least)) return c->least; // what is no number, too
  return value < most_of(id) ? value : most_of(id);
}

/// How many values there are.
static int count_of(WayChoiceId id) {
  return (int)lrintf((most_of(id) - choices[id].least) / choices[id].step) + 1;
}

float way_choice_moved(WayChoiceId id, float value, int steps) {
  const WayChoice* const c = &choices[id];
  const int n = count_of(id);
  if (!steps) return value;
  int to = (int)lrintf((way_choice_clamped(id, value) - c->least) / c->step);
  if (id == WAY_CHOICE_STAGE && value < c->least && steps > 0) to = -1;
  to += steps % n;
  if (goes_round(id))
    to = (to + n) % n;
  else
    to = to < 0 ? 0 : to >= n ? n - 1 : to;
  return c->least + (float)to * c->step;
}

/// The frets shown for a value of #WAY_CHOICE_FRETS: all of them, or those of a hand.
static void fret_window(unsigned value, unsigned capo, uint8_t* first, uint8_t* last) {
  const unsigned from = value > WAY_FRETS_HAND ? value - WAY_FRETS_HAND - 1 : 0;
  *first = (uint8_t)(from > capo ? from : capo);
  *last = (uint8_t)(*first + (value > WAY_FRETS_HAND ? FRETS_IN_HAND : FRETS_ALL));
}

void way_choice_write(WayChoiceId id, float value, WayOut* out) {
  const float v = way_choice_clamped(id, value);
  const int whole = (int)lrintf(v);
  if (choices[id].names) {
    way_out_str(out, choices[id].names[whole]);
  } else if (id == WAY_CHOICE_STAGE && value < choices[id].least) {
    way_out_str(out, "own");
  } else if (id == WAY_CHOICE_INSTRUMENT) {
    way_out_str(out, (unsigned)whole < way_tuning_count()
                         ? way_tuning_name((unsigned)whole)
                         : "keyboard");
  } else if (id == WAY_CHOICE_FRETS && whole == WAY_FRETS_HAND) {
    way_out_str(out, "hand");
  } else if (id == WAY_CHOICE_FRETS) {
    uint8_t first, last;
    fret_window((unsigned)whole, 0, &first, &last);
    way_out_int(out, first);
    way_out_str(out, "\u2013");
    way_out_int(out, last);
  } else if (id == WAY_CHOICE_EARLY) {
    const int quarters = (int)lrintf(v * 4);
    static const char* const rest[] = {"", "\u00BC", "\u00BD", "\u00BE"};
    if (quarters / 4 || !(quarters % 4)) way_out_int(out, quarters / 4);
    way_out_str(out, rest[quarters % 4]);
  } else {
    way_out_int(out, whole);
  }
}

static uint8_t moved_key(uint8_t key, int octaves) {
  return (uint8_t)(key + 12 * octaves);
}

void way_choice_look(const float values[WAY_CHOICE_COUNT], WayScreenLook* look) {
  int v[WAY_CHOICE_COUNT];
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i)
    v[i] = (int)lrintf(way_choice_clamped((WayChoiceId)i, values[i]));
  look->view = (WayView)v[WAY_CHOICE_VIEW];
  look->theme = (WayThemeName)v[WAY_CHOICE_THEME];
  look->by_name = v[WAY_CHOICE_SIGNS];
  const unsigned instrument = (unsigned)v[WAY_CHOICE_INSTRUMENT];
  look->keyboard = instrument == way_tuning_count();
  if (!look->keyboard) look->frets.tuning = way_tuning(instrument);
  look->frets.left = v[WAY_CHOICE_HAND];
  look->frets.capo = (uint8_t)v[WAY_CHOICE_CAPO];
  fret_window((unsigned)v[WAY_CHOICE_FRETS], look->frets.capo, &look->frets.first,
              &look->frets.last);
  const WayKeyboard keys = way_keyboard_default();
  look->keys.low = moved_key(keys.low, v[WAY_CHOICE_OCTAVE]);
  look->keys.high = moved_key(keys.high, v[WAY_CHOICE_OCTAVE]);
}

// ---- Stages of practice.

float way_choice_of_stage(unsigned stage, WayChoiceId id, float now) {
  // presets/*.ttl, which a test compares.
  static const struct {
    float handling, held, early;
  } stages[WAY_STAGES] = {{0, 0, 0}, {0, 0, 0},    {1, 0, 0},     {0, 0, 0},
                          {0, 1, 0}, {0, 0, 0.5f}, {0, 0, 0.25f}, {0, 0, 0.25f}};
  switch (id) {
  case WAY_CHOICE_HANDLING: return stages[stage].handling;
  case WAY_CHOICE_MATERIAL: return (float)way_stage(stage)->material;
  case WAY_CHOICE_SNAP: return 0;
  case WAY_CHOICE_HELD: return stages[stage].held;
  case WAY_CHOICE_EARLY: return stages[stage].early;
  default: return now;
  }
}

bool way_choice_in_stage(WayChoiceId id) { return way_choice_of_stage(0, id, -1) >= 0; }

static bool is_stage(unsigned stage, const float values[WAY_CHOICE_COUNT]) {
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
    const float value = way_choice_of_stage(stage, (WayChoiceId)i, values[i]);
    if (value < values[i] || value > values[i]) return false;
  }
  return true;
}

float way_choice_stage(const float values[WAY_CHOICE_COUNT]) {
  for (unsigned stage = 0; stage < WAY_STAGES; ++stage)
    if (is_stage(stage, values)) return (float)(stage + 1);
  return WAY_STAGE_OWN;
}

// ---- The look as text.

void way_choice_write_look(const float values[WAY_CHOICE_COUNT], WayOut* out) {
  bool first = true;
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
    if (choices[i].control != WAY_CHOICE_OF_LOOK) continue;
    if (!first) way_out_str(out, "; ");
    first = false;
    way_out_str(out, choices[i].label);
    way_out_str(out, ": ");
    way_choice_write((WayChoiceId)i, values[i], out);
  }
}

/// The value that is written so; `otherwise` if none is.
static float value_of(WayChoiceId id, WayText text, float otherwise) {
  char written[WAY_CHOICE_TEXT_MAX];
  const int n = count_of(id);
  for (int i = 0; i < n; ++i) {
    const float v = choices[id].least + (float)i * choices[id].step;
    WayOut out = way_out(written, sizeof(written));
    way_choice_write(id, v, &out);
    if (way_text_is(text, written)) return v;
  }
  return otherwise;
}

/// Cut what stands before `sign` off a text; all of it if there is no such sign.
static WayText cut(WayText* rest, char sign) {
  const char* const at = rest->size ? memchr(rest->at, sign, rest->size) : NULL;
  const WayText part = {rest->at, at ? (size_t)(at - rest->at) : rest->size};
  const size_t used = part.size + (at ? 1 : 0);
  *rest = (WayText){rest->at + used, rest->size - used};
  return way_text_trim(part);
}

void way_choice_read_look(WayText text, float values[WAY_CHOICE_COUNT]) {
  while (text.size) {
    WayText value = cut(&text, ';');
    const WayText label = cut(&value, ':');
    value = way_text_trim(value);
    for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i)
      if (choices[i].control == WAY_CHOICE_OF_LOOK &&
          way_text_is(label, choices[i].label))
        values[i] = value_of((WayChoiceId)i, value, values[i]);
  }
}
