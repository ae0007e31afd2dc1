#include "take/motifs.h"

#include <stdlib.h>

enum {
  QUARTER = WAY_TICKS_PER_QUARTER,
  AT_ONCE = QUARTER / 8,   // notes this close begin together; the highest is the line's
  STEP_LIKE = QUARTER / 5, // steps in time this close are alike: swung or straight
  PLACE_LIKE = QUARTER / 4, // places of the bar this close are the same
  INTERVAL_LIKE = 2, // semitones between intervals of one direction that are alike
  MOVES_MAX = 31,    // moves of a phrase that are compared
  SHIFT_MAX = 4,     // moves that come in between, at most
  BACK = 8,          // phrases looked back
};

/// From one note of the line to the next.
typedef struct {
  int32_t ticks;
  int32_t semitones;
} Move;

/// The outline of a phrase.
typedef struct {
  uint32_t n;
  int first;         // pitch
  uint32_t up, down; // a bit for each move that goes there
  Move moves[MOVES_MAX];
} Outline;

static void outline(const WayTake* take, const WayPhrase* p, Outline* o) {
  o->n = o->up = o->down = 0;
  o->first = take->notes[p->first].pitch;
  WayTick start = take->notes[p->first].start;
  int pitch = o->first;
  for (uint32_t i = p->first + 1; i <= p->last; ++i) {
    const WayNote* const note = &take->notes[i];
    if (note->start - start > AT_ONCE) {
      if (o->n == MOVES_MAX) break;
      const WayTick ticks = note->start - start;
      o->moves[o->n++] =
          (Move){(int32_t)(ticks < INT32_MAX ? ticks : INT32_MAX), note->pitch - pitch};
      start = note->start;
    } else if (note->pitch > pitch) { // a higher one of the same moment
      if (o->n)
        o->moves[o->n - 1].semitones += note->pitch - pitch;
      else
        o->first = note->pitch;
    } else {
      continue;
    }
    pitch = note->pitch;
  }
  for (uint32_t i = 0; i < o->n; ++i) {
    o->up |= (uint32_t)(o->moves[i].semitones > 0) << i;
    o->down |= (uint32_t)(o->moves[i].semitones < 0) << i;
  }
}

// ---- Likeness of two phrases.

/// Whether two moves of one direction are alike: in time and nearly in size.
static bool alike(const Move* a, const Move* b, int semitones) {
  return (abs(a->ticks - b->ticks) <= STEP_LIKE) &
         (abs(a->semitones - b->semitones) <= semitones); // both are quick: no branch
}

/// The moves of `b` that go the way of move `i` of `a`, shifted by #SHIFT_MAX at most.
static uint32_t going_with(const Outline* a, uint32_t i, const Outline* b) {
  const uint32_t band = (1u << (2 * SHIFT_MAX + 1)) - 1;
  const uint32_t near =
      i < SHIFT_MAX ? band >> (SHIFT_MAX - i) : band << (i - SHIFT_MAX);
  if (a->up >> i & 1) return b->up & near;
  if (a->down >> i & 1) return b->down & near;
  return ~(b->up | b->down) & near & ((1u << b->n) - 1);
}

/// Whether `need` moves return in the same order, none shifted by more than #SHIFT_MAX:
/// the longest common subsequence, given up as soon as it can't be long enough.  A
/// clear bit of `row` adds one to the length; a carry out of it is a new one (Hyyro
/// 2004, "Bit-parallel LCS-length computation revisited").
static bool returns(const Outline* a, const Outline* b, uint32_t need) {
  const uint32_t all = (1u << b->n) - 1;
  uint32_t row = all, missed = 0;
  for (uint32_t i = 0; i < a->n; ++i) {
    uint32_t like = going_with(a, i, b);
    for (uint32_t left = like; left; left &= left - 1) {
      const uint32_t k = (uint32_t)__builtin_ctz(left);
      const bool is_like = alike(&a->moves[i], &b->moves[k], INTERVAL_LIKE);
      like ^= (uint32_t)!is_like << k;
    }
    const uint32_t sum = row + (row & like);
    missed += sum <= all;
    if (a->n - missed < need) return false;
    row = (sum | (row & ~like)) & all;
  }
  return true;
}

/// Whether two outlines are the same but for pitch; `*exact` tells if pitch is the
/// same.
static bool same_shape(const Outline* a, const Outline* b, bool* exact) {
  *exact = a->first == b->first;
  if (a->n != b->n || a->up != b->up || a->down != b->down) return false;
  for (uint32_t i = 0; i < a->n; ++i) {
    if (!alike(&a->moves[i], &b->moves[i], 1)) return false;
    *exact = *exact && a->moves[i].semitones == b->moves[i].semitones;
  }
  return true;
}

/// How `b` goes back to `a`; single notes are too little to tell.
static WayMotifKind likeness(const Outline* a, const Outline* b) {
  if (!a->n || !b->n) return WAY_MOTIF_NEW;
  bool exact;
  if (same_shape(a, b, &exact)) return exact ? WAY_MOTIF_EXACT : WAY_MOTIF_TRANSPOSED;
  // Most of both: three fifths, and no less than three moves, so four notes.
  const uint32_t less = a->n < b->n ? a->n : b->n, sum = a->n + b->n;
  const uint32_t need = (3 * sum + 9) / 10;
  if (less < 3 || less < need) return WAY_MOTIF_NEW;
  return returns(a, b, need) ? WAY_MOTIF_VARIED : WAY_MOTIF_NEW;
}

static bool same_place(const WayPhrase* a, const WayPhrase* b, WayTick bar) {
  const WayTick off = (b->start - a->start) % bar;
  return off <= PLACE_LIKE || bar - off <= PLACE_LIKE;
}

// ---- All phrases.

/// Compare phrase `k` with those before it.
static WayMotif motif_of(const WayPhrase* phrases, uint32_t k, WayTick bar,
                         const Outline* outlines, const WayMotif* motifs) {
  WayMotif m = {.like = WAY_NO_PHRASE, .kind = WAY_MOTIF_NEW, .answers = WAY_NO_PHRASE};
  for (uint32_t back = 1; back <= BACK && back <= k; ++back) {
    const uint32_t j = k - back;
    WayMotifKind kind = likeness(&outlines[j % (BACK + 1)], &outlines[k % (BACK + 1)]);
    if (kind == WAY_MOTIF_NEW) continue;
    const bool shifted = !same_place(&phrases[j], &phrases[k], bar);
    if (kind == WAY_MOTIF_EXACT && shifted) kind = WAY_MOTIF_SHIFTED;
    if (m.kind != WAY_MOTIF_NEW && kind >= m.kind) continue; // the nearest, if as like
    m.kind = (uint8_t)kind;
    m.like = j;
    m.shifted = shifted;
    m.motif = motifs[j].motif;
    m.primed = kind != WAY_MOTIF_EXACT || motifs[j].primed;
  }
  return m;
}

/// A phrase answers the one before it if that is no answer itself and at most a bar
/// of space lies between them.
static bool is_answer(const WayPhrase* before, const WayMotif* its, WayTick bar) {
  return its->answers == WAY_NO_PHRASE && before->space <= bar;
}

WayStatus way_motifs(const WayTake* take, WayTick bar, const WayPhrase* phrases,
                     uint32_t n, WayMotif** out) {
  WayMotif* const motifs = malloc((n + (size_t)1) * sizeof(*motifs));
  if (!motifs) return WAY_ERR_NO_MEMORY;
  Outline outlines[BACK + 1];
  uint32_t n_motifs = 0;
  for (uint32_t k = 0; k < n; ++k) {
    outline(take, &phrases[k], &outlines[k % (BACK + 1)]);
    motifs[k] = motif_of(phrases, k, bar, outlines, motifs);
    if (motifs[k].kind == WAY_MOTIF_NEW) motifs[k].motif = n_motifs++;
    if (k && is_answer(&phrases[k - 1], &motifs[k - 1], bar)) motifs[k].answers = k - 1;
  }
  *out = motifs;
  return WAY_OK;
}

const char* way_motif_kind_name(WayMotifKind kind) {
  static const char* const names[] = {"new", "exact", "shifted", "transposed",
                                      "varied"};
  return names[kind];
}

void way_motif_letter_write(uint32_t motif, WayOut* out) {
  char letters[8];
  size_t at = sizeof(letters);
  for (uint64_t left = (uint64_t)motif + 1; left; left = (left - 1) / 26)
    letters[--at] = (char)('A' + (left - 1) % 26);
  for (; at < sizeof(letters); ++at) way_out_char(out, letters[at]);
}

void way_motif_mark_write(const WayMotif* motif, WayOut* out) {
  way_motif_letter_write(motif->motif, out);
  if (motif->primed) way_out_char(out, '\'');
}
