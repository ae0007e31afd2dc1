#include "theory/key_find.h"

#include <math.h>
#include <string.h>

/// How a chord sounds, as far as keys care.
typedef enum {
  KIND_MAJOR,    ///< Major triad or sixth chord
  KIND_MAJOR_7,  ///< With a major seventh: a tonic or subdominant sound
  KIND_DOMINANT, ///< Major third (or a fourth in its place) and minor seventh
  KIND_MINOR,    ///< Minor third, perfect fifth
  KIND_HALF,     ///< Half-diminished seventh
  KIND_DIM,      ///< Diminished triad or seventh
  KIND_OPEN,     ///< No third
  KIND_COUNT,
} Kind;

static Kind kind_of(const WayChord* c) {
  const bool flat_seven = way_chord_has(c, 7, -1);
  if (way_chord_has(c, 3, -1)) {
    if (!way_chord_has(c, 5, -1)) return KIND_MINOR;
    return flat_seven ? KIND_HALF : KIND_DIM;
  }
  if (flat_seven) return KIND_DOMINANT;
  if (!way_chord_has(c, 3, 0)) return KIND_OPEN;
  return way_chord_has(c, 7, 0) ? KIND_MAJOR_7 : KIND_MAJOR;
}

static bool is_major(Kind kind) { return kind == KIND_MAJOR || kind == KIND_MAJOR_7; }

/// How well a chord sits in a key, in hundredths: by mode, kind, and semitones of its
/// root above the tonic.  The key's own triads and sevenths stand highest, then applied
/// dominants, borrowed chords and tritone substitutes, then what has no usual reading.
static const int8_t fit[2][KIND_COUNT][12] = {
    {
        {100, -60, -20, -10, -25, 85, -80, 80, 0, -20, 10, -60}, // major
        {100, -30, -40, 0, -50, 90, -60, 0, 10, -50, 0, -60},    // major seventh
        {45, 0, 30, -25, 15, 45, -40, 95, -10, 35, 15, -5},      // dominant
        {-50, -90, 75, -80, 50, 15, -80, 15, -90, 70, -50, 0},   // minor
        {-80, -90, 15, -90, 5, -90, 20, -60, -90, -10, -90, 50}, // half-diminished
        {-10, 5, -30, 5, -20, -50, 15, -40, 0, -30, -60, 40},    // diminished
        {70, -60, 40, -40, 20, 60, -60, 70, -30, 30, 0, -40},    // open
    },
    {
        {-10, 10, -35, 70, -60, 40, -70, 70, 75, -60, 70, -80},    // major
        {-30, 20, -60, 70, -60, -20, -70, -40, 80, -60, 10, -80},  // major seventh
        {15, 5, 15, 20, -50, 35, -30, 100, 35, -10, 40, -40},      // dominant
        {100, -80, -5, -70, -70, 80, -80, 35, -70, -30, -15, -80}, // minor
        {-30, -90, 75, -90, -50, -40, 0, -20, -90, 15, -90, -10},  // half-diminished
        {-30, -20, 30, -60, -20, -50, 15, -40, -40, 0, -60, 60},   // diminished
        {70, -40, 20, 30, -50, 60, -60, 70, 30, -30, 45, -60},     // open
    },
};

/// What a step between two chords says for a key, in hundredths: the last chord's root
/// and kinds as a set, then the chord it goes to.
typedef struct {
  uint8_t from;       ///< Semitones above the tonic
  uint8_t from_kinds; ///< Bit n: #Kind n
  uint8_t to, to_kinds;
  int8_t points[2]; ///< In major, in minor
} Step;

#define K(kind) (1u << KIND_##kind)
#define MAJORS (K(MAJOR) | K(MAJOR_7))
#define TONIC_KINDS (MAJORS | K(MINOR) | K(OPEN))

static const Step steps[] = {
    // Cadences: the dominant, its substitutes, and the plagal side to the tonic.
    {7, K(DOMINANT), 0, TONIC_KINDS, {100, 100}},
    {7, K(DOMINANT), 0, K(DOMINANT), {50, 20}},
    {7, K(MAJOR) | K(OPEN), 0, TONIC_KINDS, {60, 70}},
    {7, K(MINOR), 0, TONIC_KINDS, {0, 40}},
    {1, K(DOMINANT) | MAJORS, 0, TONIC_KINDS, {60, 60}},
    {11, K(DIM) | K(HALF), 0, TONIC_KINDS, {60, 60}},
    {5, MAJORS | K(MINOR) | K(DOMINANT), 0, TONIC_KINDS | K(DOMINANT), {35, 25}},
    {10, MAJORS | K(DOMINANT) | K(OPEN), 0, TONIC_KINDS | K(DOMINANT), {25, 35}},
    {8, MAJORS | K(DOMINANT), 0, TONIC_KINDS, {10, 20}},
    // Towards the dominant.
    {2, K(MINOR), 7, K(DOMINANT), {60, 10}},
    {2, K(HALF), 7, K(DOMINANT), {20, 70}},
    {2, K(DOMINANT), 7, K(DOMINANT), {25, 15}},
    {5, MAJORS | K(MINOR), 7, K(DOMINANT) | K(MAJOR), {30, 30}},
    {8, MAJORS | K(DOMINANT), 7, K(DOMINANT) | K(MAJOR), {15, 35}},
    {0, TONIC_KINDS, 7, K(DOMINANT) | K(MAJOR), {15, 15}},
    {8, MAJORS, 10, K(MAJOR), {5, 25}},
};

static int step_points(const Step* s, int mode, int from, Kind from_kind, int to,
                       Kind to_kind) {
  return s->from == from && s->to == to && (s->from_kinds >> from_kind & 1u) &&
                 (s->to_kinds >> to_kind & 1u)
             ? s->points[mode]
             : 0;
}

/// A chord as keys see it.
typedef struct {
  Kind kind;
  int root;    ///< Pitch class
  float beats; ///< 0: silence
} Sound;

static Sound sound_of(const WayHeardChord* h) {
  if (way_chord_is_none(&h->chord)) return (Sound){KIND_OPEN, 0, 0};
  return (Sound){kind_of(&h->chord), way_spelling_pc(h->chord.root), h->beats};
}

/// One of the 24 keys: tonic pitch class, and 1 for minor.
typedef struct {
  int tonic, minor;
} Candidate;

static Candidate candidate(int index) { return (Candidate){index % 12, index / 12}; }

static int fit_of(const Sound* s, Candidate k) {
  return fit[k.minor][s->kind][way_pc(s->root - k.tonic)];
}

static int points_of(const Sound* from, const Sound* to, Candidate k) {
  const int a = way_pc(from->root - k.tonic), b = way_pc(to->root - k.tonic);
  int points = 0;
  for (size_t i = 0; i < WAY_COUNT(steps); ++i)
    points += step_points(&steps[i], k.minor, a, from->kind, b, to->kind);
  // The tonic's own third tells the modes apart.
  if (b == 0 && (k.minor ? is_major(to->kind) : to->kind == KIND_MINOR)) points /= 4;
  return points;
}

static bool is_tonic(const Sound* s, Candidate k) {
  if (s->root != k.tonic) return false;
  if (s->kind == KIND_OPEN) return true;
  if (k.minor) return s->kind == KIND_MINOR;
  return is_major(s->kind) || s->kind == KIND_DOMINANT;
}

/// How much each kind of evidence weighs, against a chord that fits perfectly.
#define WEIGHT_STEPS 2.0f    ///< What the steps say, on average
#define WEIGHT_FIRST 0.25f   ///< The first chord is the tonic
#define WEIGHT_LAST 0.05f    ///< The last one is
#define WEIGHT_ARRIVAL 0.20f ///< ... and it is arrived at, in the measure
#define ARRIVED 60.0f        ///< of a cadence of triads: the points of its step
#define WEIGHT_CLOSING 0.20f ///< The last dominant that resolves goes to the tonic
#define WEIGHT_AWAY 0.80f    ///< The tonic never sounds

/// What the ends of the form say.
typedef struct {
  Sound first;
  Sound before_last, last;
  Sound closing; ///< Where the last dominant that resolved went
} Ends;

static bool same_sound(const Sound* a, const Sound* b) {
  return a->root == b->root && a->kind == b->kind;
}

static float ends_points(const Ends* e, Candidate k) {
  float points = 0;
  if (is_tonic(&e->first, k)) points += WEIGHT_FIRST;
  if (e->closing.beats > 0 && is_tonic(&e->closing, k)) points += WEIGHT_CLOSING;
  if (!is_tonic(&e->last, k)) return points;
  // A last chord that little leads to may be where a loop was cut off.
  const float led = (float)points_of(&e->before_last, &e->last, k) / ARRIVED;
  return points + WEIGHT_LAST + WEIGHT_ARRIVAL * fminf(led, 1);
}

static bool resolves(const Sound* a, const Sound* b) {
  return a->kind == KIND_DOMINANT && (is_major(b->kind) || b->kind == KIND_MINOR) &&
         way_pc(a->root - b->root) == 7;
}

/// Add up what every chord and every step says for the 24 keys.
static bool add_up(const WayHeardChord* chords, size_t n, float score[24]) {
  float chord_sum[24] = {0}, step_sum[24] = {0};
  bool at_home[24] = {false};
  float beats = 0;
  unsigned changes = 0;
  Ends ends = {0};
  Sound before = {0};
  for (size_t i = 0; i < n; ++i) {
    const Sound s = sound_of(&chords[i]);
    if (!(s.beats > 0)) continue;
    const bool moved = beats > 0 && !same_sound(&before, &s);
    for (int k = 0; k < 24; ++k) {
      at_home[k] |= is_tonic(&s, candidate(k));
      chord_sum[k] += s.beats * (float)fit_of(&s, candidate(k));
      if (moved) step_sum[k] += (float)points_of(&before, &s, candidate(k));
    }
    if (beats <= 0) ends.first = ends.before_last = s;
    if (moved) ends.before_last = before;
    if (moved && resolves(&before, &s)) ends.closing = s;
    changes += moved;
    beats += s.beats;
    ends.last = before = s;
  }
  if (!(beats > 0)) return false;
  const bool turns = !same_sound(&ends.last, &ends.first);
  changes += turns;
  for (int k = 0; k < 24; ++k) {
    if (turns) step_sum[k] += (float)points_of(&ends.last, &ends.first, candidate(k));
    score[k] = chord_sum[k] / (100 * beats) + ends_points(&ends, candidate(k));
    if (!at_home[k]) score[k] -= WEIGHT_AWAY; // a tonic that never sounds
    if (changes) score[k] += WEIGHT_STEPS * step_sum[k] / (100 * (float)changes);
  }
  return true;
}

// ---- spelling ----

/// The tonic as the chords write it, if its signature is common; else the simplest.
static WayKey spelled(Candidate k, const WayHeardChord* chords, size_t n) {
  const WayMode mode = k.minor ? WAY_MODE_MINOR : WAY_MODE_MAJOR;
  const int shift = k.minor ? 3 : 0; // a minor key's signature is three fifths flatter
  float weight[2] = {0, 0};          // flat and sharp spelling
  int sides[2];
  sides[0] = k.tonic * 7 % 12; // place on the line of fifths, 0..11
  while (sides[0] - shift > 0) sides[0] -= 12;
  sides[1] = sides[0] + 12;
  for (size_t i = 0; i < n; ++i) {
    const WaySpelling root = chords[i].chord.root;
    if (way_chord_is_none(&chords[i].chord)) continue;
    const int fifths = way_spelling_fifths(root);
    for (int s = 0; s < 2; ++s) {
      if (fifths == sides[s]) weight[s] += 3 * chords[i].beats;
      // Roots lie near their tonic on the line of fifths.
      if (fifths >= sides[s] - 5 && fifths <= sides[s] + 6)
        weight[s] += chords[i].beats;
    }
  }
  const int far[2] = {shift - sides[0], sides[1] - shift};
  int side = weight[1] > weight[0];
  if (far[side] > 7 || (weight[0] <= weight[1] && weight[1] <= weight[0]))
    side = far[1] < far[0];
  return (WayKey){way_spelling_at_fifths(sides[side]), mode};
}

WayKeyFinding way_key_find(const WayHeardChord* chords, size_t n) {
  float score[24];
  if (!add_up(chords, n, score)) {
    const WayKeyGuess none = {{{0, 0}, WAY_MODE_MAJOR}, 0};
    return (WayKeyFinding){none, none};
  }
  int best = 0, second = -1;
  for (int k = 1; k < 24; ++k)
    if (score[k] > score[best]) best = k;
  for (int k = 0; k < 24; ++k)
    if (k != best && (second < 0 || score[k] > score[second])) second = k;
  float sum = 0;
  for (int k = 0; k < 24; ++k) sum += expf(6 * (score[k] - score[best]));
  return (WayKeyFinding){
      {spelled(candidate(best), chords, n), 1 / sum},
      {spelled(candidate(second), chords, n),
       expf(6 * (score[second] - score[best])) / sum},
  };
}

// ---- parts ----

static int index_of(WayKey key) {
  return way_spelling_pc(key.tonic) + (way_key_is_minor(key) ? 12 : 0);
}

/// Steps on the circle of fifths between the signatures of two keys, 0..6.
static int signature_distance(Candidate a, Candidate b) {
  const int from = (a.tonic + 3 * a.minor) * 7, to = (b.tonic + 3 * b.minor) * 7;
  const int d = ((to - from) % 12 + 12) % 12;
  return d > 6 ? 12 - d : d;
}

/// What it costs to leave key `a` for key `b`, in beats of a perfectly fitting chord.
static float change_cost(Candidate a, Candidate b) {
  return 6.0f + 0.3f * (float)signature_distance(a, b);
}

/// What a chord says for a key, a beat.  The key of the whole can explain more than any
/// other: an applied dominant is no reason to leave it.
static float part_fit(const Sound* s, Candidate k, bool is_home) {
  const float own = (float)fit_of(s, k) / 100;
  return is_home ? own + 0.3f * (1 - own) : own;
}

/// The key before this chord from which key `k` is reached best; its score in `*score`.
static int best_before(const float before[24], const float cost[24], int k,
                       float* score) {
  int best = k;
  for (int j = 0; j < 24; ++j)
    if (before[j] - cost[j] > before[best] - cost[best]) best = j;
  *score = before[best] - cost[best];
  return best;
}

/// Find the best way through the keys; `work[24 i]` receives the key of chord `i`.
static void find_parts(const WayHeardChord* chords, size_t n, int home_index,
                       uint8_t* work) {
  float score[24], next[24], cost[24][24]; // cost[to][from]; staying is free
  for (int to = 0; to < 24; ++to)
    for (int from = 0; from < 24; ++from)
      cost[to][from] = from == to ? 0 : change_cost(candidate(from), candidate(to));
  for (int k = 0; k < 24; ++k) score[k] = -cost[k][home_index];
  Sound before = {0};
  for (size_t i = 0; i < n; ++i) {
    const Sound s = sound_of(&chords[i]);
    for (int k = 0; k < 24; ++k) {
      const int from = best_before(score, cost[k], k, &next[k]);
      work[i * 24 + (size_t)k] = (uint8_t)from;
      if (!(s.beats > 0)) continue;
      next[k] += s.beats * part_fit(&s, candidate(k), k == home_index);
      if (before.beats > 0 && from == k)
        next[k] += s.beats * (float)points_of(&before, &s, candidate(k)) / 100;
    }
    memcpy(score, next, sizeof(score));
    if (s.beats > 0) before = s;
  }
  int k = 0;
  for (int j = 1; j < 24; ++j)
    if (score[j] > score[k]) k = j;
  for (size_t i = n; i-- > 0;) { // the way back
    const int from = work[i * 24 + (size_t)k];
    work[i * 24] = (uint8_t)k;
    k = from;
  }
}

void way_key_parts(const WayHeardChord* chords, size_t n, WayKey home, uint8_t* work,
                   WayKey* keys) {
  const int home_index = index_of(home);
  find_parts(chords, n, home_index, work);
  for (size_t i = 0, end; i < n; i = end) {
    const uint8_t part = work[i * 24];
    for (end = i + 1; end < n && work[end * 24] == part;) ++end;
    const WayKey key =
        part == home_index ? home : spelled(candidate(part), chords + i, end - i);
    for (size_t c = i; c < end; ++c) keys[c] = key;
  }
}
