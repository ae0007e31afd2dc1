#include "theory/embellish.h"

const char* way_embellish_name(WayEmbellish kind) {
  static const char* const names[] = {
      "chord tone",      "passing tone",       "upper neighbour",
      "lower neighbour", "double neighbour",   "incomplete neighbour",
      "appoggiatura",    "escape tone",        "suspension",
      "retardation",     "anticipation",       "syncopation",
      "pedal",           "chromatic approach", "free",
  };
  return (unsigned)kind < WAY_COUNT(names) ? names[kind] : "";
}

uint8_t way_embellish_strength(int64_t at, int64_t beat, int64_t bar) {
  if (at == 0) return 4;
  if (2 * at == bar && at % beat == 0) return 3;
  if (at % beat == 0) return 2;
  return 2 * at % beat == 0;
}

/// How a note is reached or left, as a set of choices in a rule.
typedef enum {
  MOTION_NONE = 1, ///< A phrase begins or ends here
  MOTION_SAME = 2, ///< The same pitch
  MOTION_STEP = 4, ///< One or two semitones
  MOTION_LEAP = 8,
} Motion;

#define ANY_MOTION (MOTION_NONE | MOTION_SAME | MOTION_STEP | MOTION_LEAP)

/// What more a rule can ask for.
enum {
  ASK_ACCENTED = 1,    ///< Stronger in the metre than the note it goes to
  ASK_UNACCENTED = 2,  ///< Not so
  ASK_UP = 4,          ///< Left upwards
  ASK_DOWN = 8,        ///< Left downwards
  ASK_ONWARD = 16,     ///< Left in the direction it was reached
  ASK_BACK = 32,       ///< Left against it
  ASK_FROM_CHORD = 64, ///< The note before is stable
  ASK_TO_CHORD = 128,  ///< The note after is stable
  ASK_HALF_STEP = 256, ///< Left by a semitone
  ASK_CHROMATIC = 512, ///< Outside the scale
};

typedef struct {
  uint8_t reached, left; ///< Sets of #Motion
  uint16_t asks;
  WayEmbellish kind;
} Rule;

/// Of a note next to its own pitch; the neighbours themselves are looked at.
static const Rule repeated[] = {
    {MOTION_SAME, MOTION_STEP, ASK_FROM_CHORD | ASK_ACCENTED | ASK_DOWN,
     WAY_EMBELLISH_SUSPENSION},
    {MOTION_SAME, MOTION_STEP, ASK_FROM_CHORD | ASK_ACCENTED | ASK_UP,
     WAY_EMBELLISH_RETARDATION},
    {MOTION_SAME, MOTION_SAME, ASK_FROM_CHORD | ASK_TO_CHORD, WAY_EMBELLISH_PEDAL},
    {ANY_MOTION, MOTION_SAME, ASK_TO_CHORD | ASK_UNACCENTED,
     WAY_EMBELLISH_ANTICIPATION},
};

/// Of all others; repetitions are looked through.  The first rule that holds counts.
static const Rule moving[] = {
    {MOTION_STEP, MOTION_STEP, ASK_ONWARD, WAY_EMBELLISH_PASSING},
    {MOTION_STEP, MOTION_STEP, ASK_BACK | ASK_DOWN, WAY_EMBELLISH_UPPER_NEIGHBOUR},
    {MOTION_STEP, MOTION_STEP, ASK_BACK | ASK_UP, WAY_EMBELLISH_LOWER_NEIGHBOUR},
    {MOTION_LEAP, MOTION_STEP, ASK_BACK | ASK_ACCENTED | ASK_TO_CHORD,
     WAY_EMBELLISH_APPOGGIATURA},
    {MOTION_LEAP | MOTION_NONE, MOTION_STEP,
     ASK_CHROMATIC | ASK_HALF_STEP | ASK_TO_CHORD, WAY_EMBELLISH_CHROMATIC_APPROACH},
    {MOTION_STEP, MOTION_LEAP, ASK_FROM_CHORD | ASK_BACK | ASK_UNACCENTED,
     WAY_EMBELLISH_ESCAPE},
    {MOTION_LEAP | MOTION_NONE, MOTION_STEP, ASK_TO_CHORD,
     WAY_EMBELLISH_INCOMPLETE_NEIGHBOUR},
    {MOTION_STEP, MOTION_LEAP | MOTION_NONE, ASK_FROM_CHORD,
     WAY_EMBELLISH_INCOMPLETE_NEIGHBOUR},
};

/// The notes around one note; a missing one is NULL.
typedef struct {
  const WayMelodyNote *before, *note, *after;
  bool to_chord; ///< The line after it settles on a chord tone
} Around;

static Motion motion(const WayMelodyNote* a, const WayMelodyNote* b) {
  if (!a || !b) return MOTION_NONE;
  const int by = b->pitch - a->pitch;
  if (by == 0) return MOTION_SAME;
  return by >= -2 && by <= 2 ? MOTION_STEP : MOTION_LEAP;
}

static int distance(const WayMelodyNote* a, const WayMelodyNote* b) {
  return a && b ? b->pitch - a->pitch : 0;
}

static unsigned answers(const Around* a) {
  const int in = distance(a->before, a->note), out = distance(a->note, a->after);
  const bool accented = a->after && a->note->strength > a->after->strength;
  unsigned set = accented ? ASK_ACCENTED : ASK_UNACCENTED;
  if (out > 0) set |= ASK_UP;
  if (out < 0) set |= ASK_DOWN;
  if (in * out > 0) set |= ASK_ONWARD;
  if (in * out < 0) set |= ASK_BACK;
  if (a->before && a->before->chord_tone_at_end) set |= ASK_FROM_CHORD;
  if (a->to_chord) set |= ASK_TO_CHORD;
  if (out == 1 || out == -1) set |= ASK_HALF_STEP;
  if (a->note->chromatic) set |= ASK_CHROMATIC;
  return set;
}

static WayEmbellish first_rule(const Rule* rules, size_t n, const Around* a) {
  const unsigned has = answers(a);
  const Motion reached = motion(a->before, a->note);
  const Motion left = motion(a->note, a->after);
  for (size_t i = 0; i < n; ++i)
    if ((rules[i].reached & reached) && (rules[i].left & left) &&
        (rules[i].asks & has) == rules[i].asks)
      return rules[i].kind;
  return WAY_EMBELLISH_FREE;
}

static const WayMelodyNote* note_before(const WayMelodyNote* notes, size_t i) {
  return i && !notes[i].after_rest ? &notes[i - 1] : NULL;
}

static const WayMelodyNote* note_after(const WayMelodyNote* notes, size_t n, size_t i) {
  return i + 1 < n && !notes[i + 1].after_rest ? &notes[i + 1] : NULL;
}

/// Whether notes `i` and `i + 1` stand a step above and a step below the chord tone
/// behind them.
static bool encloses(const WayMelodyNote* notes, size_t n, size_t i) {
  if (i + 2 >= n || notes[i + 1].after_rest || notes[i + 2].after_rest) return false;
  const int first = notes[i].pitch - notes[i + 2].pitch;
  const int second = notes[i + 1].pitch - notes[i + 2].pitch;
  return !notes[i].chord_tone && !notes[i + 1].chord_tone && notes[i + 2].chord_tone &&
         first * second < 0 && first >= -2 && first <= 2 && second >= -2 && second <= 2;
}

/// Where the pitch of note `i` is first heard in an unbroken repetition.
static size_t first_of_pitch(const WayMelodyNote* notes, size_t i) {
  while (i && !notes[i].after_rest && notes[i - 1].pitch == notes[i].pitch) --i;
  return i;
}

static size_t last_of_pitch(const WayMelodyNote* notes, size_t n, size_t i) {
  while (i + 1 < n && !notes[i + 1].after_rest && notes[i + 1].pitch == notes[i].pitch)
    ++i;
  return i;
}

/// Whether the note after `i` is a chord tone, or one more step the same way is.
static bool settles(const WayMelodyNote* notes, size_t n, size_t i) {
  const WayMelodyNote* const after = note_after(notes, n, i);
  if (!after || after->chord_tone) return after != NULL;
  const WayMelodyNote* const then = note_after(notes, n, i + 1);
  return motion(after, then) == MOTION_STEP && then->chord_tone &&
         distance(&notes[i], after) * distance(after, then) > 0;
}

static WayEmbellish kind_of(const WayMelodyNote* notes, size_t n, size_t i) {
  const WayMelodyNote* const note = &notes[i];
  const WayMelodyNote* const after = note_after(notes, n, i);
  if (note->chord_tone_at_end)
    return note->chord_tone ? WAY_EMBELLISH_CHORD_TONE : WAY_EMBELLISH_SYNCOPATION;
  if (note->chord_tone) { // held over a change: it prepares itself
    const Around held = {note, note, after, after && after->chord_tone};
    if (motion(note, after) != MOTION_STEP)
      return first_rule(repeated, WAY_COUNT(repeated), &held);
    return after->pitch < note->pitch ? WAY_EMBELLISH_SUSPENSION
                                      : WAY_EMBELLISH_RETARDATION;
  }
  const Around near = {note_before(notes, i), note, after, after && after->chord_tone};
  const WayEmbellish kind = first_rule(repeated, WAY_COUNT(repeated), &near);
  if (kind != WAY_EMBELLISH_FREE) return kind;
  if (encloses(notes, n, i) || (i && !note->after_rest && encloses(notes, n, i - 1)))
    return WAY_EMBELLISH_DOUBLE_NEIGHBOUR;
  const size_t first = first_of_pitch(notes, i), last = last_of_pitch(notes, n, i);
  const Around far = {note_before(notes, first), note, note_after(notes, n, last),
                      settles(notes, n, last)};
  return first_rule(moving, WAY_COUNT(moving), &far);
}

void way_embellish(const WayMelodyNote* notes, size_t n, uint8_t* kinds) {
  for (size_t i = 0; i < n; ++i) kinds[i] = (uint8_t)kind_of(notes, n, i);
}
