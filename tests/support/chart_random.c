#include "chart_random.h"

#include "rng.h"

typedef struct {
  WayOut out;
  uint32_t* rng;
  bool numerals;
  unsigned beats;
  bool may_repeat; ///< The bar before is in the same metre
} Scribe;

static bool chance(Scribe* s, uint32_t one_in) { return !rng_below(s->rng, one_in); }

#define PICK(s, list) ((list)[rng_below((s)->rng, WAY_COUNT(list))])

static void say(Scribe* s, const char* text) { way_out_str(&s->out, text); }

static void blanks(Scribe* s) {
  static const char* const list[] = {" ", " ", "  ", "\t"};
  say(s, PICK(s, list));
}

static void symbol(Scribe* s) {
  static const char* const roots[] = {"C",  "D", "Eb", "F#", "G", "Ab",
                                      "Bb", "B", "Cb", "E#", "A"};
  static const char* const kinds[] = {"",     "m",   "7",  "maj7",   "m7b5", "dim7",
                                      "sus4", "6/9", "13", "7#9b13", "+",    "/E"};
  static const char* const numerals[] = {"I",  "ii7",   "V7/V",  "bVII",
                                         "iv", "viio7", "Imaj7", "#ivo7"};
  static const char* const targets[] = {">3", ">b7", ">#11", ">R", ">9"};
  if (chance(s, 20)) {
    say(s, "N.C.");
    return;
  }
  if (s->numerals && chance(s, 2)) {
    say(s, PICK(s, numerals));
  } else {
    say(s, PICK(s, roots));
    say(s, PICK(s, kinds));
  }
  if (chance(s, 4)) say(s, PICK(s, targets));
}

/// What stands in a bar: `%`, chords that share it, or chords with a `/` for each beat.
static void bar(Scribe* s) {
  blanks(s);
  if (s->may_repeat && chance(s, 8)) {
    say(s, "%");
  } else if (chance(s, 3)) {
    for (unsigned beat = 0; beat < s->beats; ++beat) {
      if (!beat || chance(s, 3))
        symbol(s);
      else
        say(s, "/");
      blanks(s);
    }
  } else {
    for (uint32_t n = 1 + rng_below(s->rng, 3); n--; blanks(s)) symbol(s);
  }
  s->may_repeat = true;
  blanks(s);
}

static void bars(Scribe* s, uint32_t n) {
  while (n--) {
    bar(s);
    if (n) say(s, chance(s, 4) ? "|\n|" : "|");
  }
}

/// A repeat between its bar lines, with 0, 2 or 3 endings.
static void repeat(Scribe* s) {
  static const char* const endings[][3] = {
      {"1. ", "2. ", NULL}, {"1.-3. ", "4. ", NULL}, {"1.3. ", "2. ", "4. "}};
  say(s, "|:");
  bars(s, 1 + rng_below(s->rng, 3));
  if (chance(s, 2)) {
    say(s, ":|");
    return;
  }
  const char* const* const list = PICK(s, endings);
  say(s, "|");
  for (unsigned i = 0; i < 3 && list[i]; ++i) {
    say(s, list[i]);
    bars(s, 1 + rng_below(s->rng, 2));
    say(s, ":|");
  }
}

static void metre(Scribe* s) {
  s->beats = 1 + rng_below(s->rng, 8);
  s->may_repeat = false;
  say(s, "time: ");
  way_out_int(&s->out, s->beats);
  say(s, chance(s, 2) ? "/4\n" : "/8\n");
}

static void section(Scribe* s, const char* name) {
  static const char* const keys[] = {"C", "Bb minor", "F# dorian", "e"};
  if (name) {
    say(s, "\n[");
    say(s, name);
    say(s, "]\n");
    if (s->numerals && chance(s, 4)) {
      say(s, "key: ");
      say(s, PICK(s, keys));
      say(s, "\n");
    }
    if (chance(s, 4)) metre(s);
  }
  for (uint32_t n = 1 + rng_below(s->rng, 3); n--;) {
    if (chance(s, 3)) {
      repeat(s);
    } else {
      say(s, "|");
      bars(s, 1 + rng_below(s->rng, 5));
      say(s, "|");
    }
    say(s, chance(s, 4) ? " ; tide\r\n" : "\n");
  }
}

void chart_random(uint32_t* rng, char* text, size_t room) {
  static const char* const names[] = {"A", "B", "Low Water"};
  static const char* const forms[] = {"form: A B [Low Water] A\n", "form: B\n", ""};
  static const char* const tempos[] = {"tempo: 92\n", "tempo: 10.5\n",
                                       "tempo: 133.007\n", ""};
  Scribe s = {.out = way_out(text, room), .rng = rng, .beats = 4};
  if (chance(&s, 2)) say(&s, "title: Gull Market\n");
  s.numerals = chance(&s, 2);
  if (s.numerals) say(&s, chance(&s, 2) ? "key: Eb major\n" : "key: f#\n");
  say(&s, PICK(&s, tempos));
  if (chance(&s, 2)) metre(&s);
  if (chance(&s, 3)) {
    section(&s, NULL);
    return;
  }
  // A section without a metre of its own comes back to the chart's.
  say(&s, PICK(&s, forms));
  const unsigned beats = s.beats;
  for (size_t i = 0; i < WAY_COUNT(names); ++i) {
    s.may_repeat = false;
    s.beats = beats;
    section(&s, names[i]);
  }
}
