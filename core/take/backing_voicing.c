#include "take/backing_voicing.h"

#include <stdlib.h>
#include <string.h>

/// Whether a tone is one of a number, altered or not as asked.
typedef struct {
  int8_t number;
  int8_t altered; ///< 1: only if altered; 0: only if not; -1: either
} Want;

/// What a chord with too many tones keeps, first things first.
static const Want wanted[] = {{3, -1},  {4, -1},  {2, -1}, {7, -1}, {6, -1}, {5, 1},
                              {13, -1}, {11, -1}, {9, -1}, {5, 0},  {1, -1}};

/// The pitch classes to set, rising from the root; returns how many.
static unsigned pick_tones(const WayChord* c, WayPc* out) {
  WayPcSet set = 0; // semitones above the root
  for (size_t w = 0; w < WAY_COUNT(wanted); ++w)
    for (unsigned i = 0; i < c->n_tones && way_pcs_count(set) < WAY_VOICES_MAX; ++i) {
      const WayDegree d = c->tones[i];
      if (d.number == wanted[w].number &&
          (wanted[w].altered < 0 || wanted[w].altered == (d.alter != 0)))
        set |= WAY_PC_BIT(way_degree_pc(d));
    }
  unsigned n = 0;
  const WayPc root = way_spelling_pc(c->root);
  for (WayPc pc = 0; pc < 12; ++pc)
    if (way_pcs_has(set, pc)) out[n++] = way_pc(root + pc);
  return n;
}

/// Stack `n` tones upwards from `low`, beginning with tone `first`.
static void stack(const WayPc* tones, unsigned n, unsigned first, int low, int* out) {
  for (unsigned i = 0; i < n; ++i) {
    const WayPc pc = tones[(first + i) % n];
    const int floor = i ? out[i - 1] + 1 : low;
    out[i] = floor + way_pc(pc - floor);
  }
}

static int by_pitch(const void* a, const void* b) {
  return *(const uint8_t*)a - *(const uint8_t*)b;
}

/// Make a voicing; false if it leaves the range.
static bool set_voices(const int* pitch, unsigned n, WayVoicing* out) {
  WayVoicing v = {.n = (uint8_t)n};
  for (unsigned i = 0; i < n; ++i) {
    if (pitch[i] < WAY_VOICING_LOW || pitch[i] > WAY_VOICING_HIGH) return false;
    v.pitch[i] = (uint8_t)pitch[i];
  }
  qsort(v.pitch, n, 1, by_pitch);
  *out = v;
  return true;
}

unsigned way_voicings_of(const WayChord* chord, WayVoicing* out) {
  WayPc tones[WAY_VOICES_MAX];
  unsigned n = pick_tones(chord, tones), found = 0;
  out[0] = (WayVoicing){0};
  const bool fifth = n == 2;
  if (fifth) tones[n++] = tones[0]; // between octaves, which is open enough
  for (unsigned first = 0; n > 1 && first < (fifth ? 1 : n); ++first)
    for (int low = WAY_VOICING_LOW; low <= WAY_VOICING_HIGH; low += 12) {
      int pitch[WAY_VOICES_MAX];
      stack(tones, n, first, low, pitch);
      if (!fifth) pitch[n - 2] -= 12;
      found += set_voices(pitch, n, &out[found]);
    }
  return found ? found : 1;
}

static unsigned apart(int a, int b) { return (unsigned)abs(a - b); }

/// From each voice of `a` to the nearest of `b`, added up.
static unsigned to_nearest(const WayVoicing* a, const WayVoicing* b) {
  unsigned all = 0;
  for (unsigned i = 0; i < a->n; ++i) {
    unsigned least = 127;
    for (unsigned k = 0; k < b->n; ++k) {
      const unsigned d = apart(a->pitch[i], b->pitch[k]);
      if (d < least) least = d;
    }
    all += least;
  }
  return all;
}

unsigned way_voicing_distance(const WayVoicing* a, const WayVoicing* b) {
  if (!a->n || !b->n) return 0;
  if (a->n != b->n) return to_nearest(a, b) + to_nearest(b, a);
  unsigned all = 0;
  for (unsigned i = 0; i < a->n; ++i) all += apart(a->pitch[i], b->pitch[i]);
  return all;
}

// ---- The whole form.

/// The voicings of one chord while the form is walked.
typedef struct {
  unsigned n;
  WayVoicing choice[WAY_VOICINGS_MAX];
  uint64_t cost[WAY_VOICINGS_MAX];
} Column;

#define FAR UINT64_MAX

/// How far a voicing stands from the middle of the range.
static unsigned off_middle(const WayVoicing* v) {
  unsigned all = 0;
  for (unsigned i = 0; i < v->n; ++i)
    all += apart(2 * v->pitch[i], WAY_VOICING_LOW + WAY_VOICING_HIGH);
  return v->n ? all / v->n : 0;
}

static void advance(const Column* before, Column* now, uint8_t* from) {
  for (unsigned c = 0; c < now->n; ++c) {
    now->cost[c] = FAR;
    for (unsigned b = 0; b < before->n; ++b) {
      if (before->cost[b] == FAR) continue;
      const uint64_t cost =
          before->cost[b] + way_voicing_distance(&before->choice[b], &now->choice[c]);
      if (cost >= now->cost[c]) continue;
      now->cost[c] = cost;
      from[c] = (uint8_t)b;
    }
  }
}

/// Chords that sound, and the ways back through them.
typedef struct {
  const WayChord* const* chords;
  size_t n;
  uint8_t (*from)[WAY_VOICINGS_MAX];
  uint8_t* way; ///< The choice for each chord
} Form;

/// The cheapest round that begins with choice `first`; its last choice goes to `last`.
static uint64_t go_round(const Form* f, unsigned first, unsigned* last) {
  Column columns[2];
  columns[0].n = way_voicings_of(f->chords[0], columns[0].choice);
  for (unsigned c = 0; c < columns[0].n; ++c) columns[0].cost[c] = c == first ? 0 : FAR;
  const WayVoicing top = columns[0].choice[first];
  for (size_t i = 1; i < f->n; ++i) {
    Column* const now = &columns[i & 1];
    now->n = way_voicings_of(f->chords[i], now->choice);
    advance(&columns[~i & 1], now, f->from[i]);
  }
  const Column* const end = &columns[(f->n - 1) & 1];
  uint64_t least = FAR;
  for (unsigned c = 0; c < end->n; ++c) {
    if (end->cost[c] == FAR) continue;
    const uint64_t cost = end->cost[c] + way_voicing_distance(&end->choice[c], &top);
    if (cost >= least) continue;
    least = cost;
    *last = c;
  }
  return least;
}

static void find_round(const Form* f) {
  WayVoicing tops[WAY_VOICINGS_MAX];
  const unsigned n = way_voicings_of(f->chords[0], tops);
  unsigned best = 0, last = 0;
  uint64_t least = FAR;
  for (unsigned first = 0; first < n; ++first) {
    const uint64_t cost = go_round(f, first, &last);
    if (cost > least ||
        (cost == least && off_middle(&tops[first]) >= off_middle(&tops[best])))
      continue;
    least = cost;
    best = first;
  }
  go_round(f, best, &last);
  for (size_t i = f->n; i--;) {
    f->way[i] = (uint8_t)last;
    if (i) last = f->from[i][last];
  }
}

WayStatus way_voicings_lead(const WayChord* const* chords, size_t n, WayVoicing* out) {
  const WayChord** const sounding = malloc(n * sizeof(const WayChord*)); // NOLINT
  Form f = {.chords = sounding};
  f.from = malloc(n * sizeof(*f.from));
  f.way = malloc(n);
  const bool room = sounding && f.from && f.way;
  for (size_t i = 0; room && i < n; ++i)
    if (!way_chord_is_none(chords[i])) sounding[f.n++] = chords[i];
  if (room && f.n) find_round(&f);
  for (size_t i = 0, k = 0; room && i < n; ++i) {
    out[i] = (WayVoicing){0};
    if (way_chord_is_none(chords[i])) continue;
    WayVoicing choice[WAY_VOICINGS_MAX];
    way_voicings_of(chords[i], choice);
    out[i] = choice[f.way[k++]];
  }
  free(sounding);
  free(f.from);
  free(f.way);
  return room ? WAY_OK : WAY_ERR_NO_MEMORY;
}
