#include "take/fit_line.h"

#include "base/midi.h"
#include "take/fit_path.h"
#include "take/review.h"

#include <stdlib.h>
#include <string.h>

/// One line while it is fitted.
typedef struct {
  WayFitter* f;
  uint32_t n;
  const uint32_t* notes; ///< Indices into the take's
  WayTake take;          ///< The line's notes alone
  WayReview* review;     ///< Of that take
  uint8_t* landing;      ///< By note: it meets a change of chord
  WayDegree* target;     ///< By note: planned for it; number 0 if none
  WayFitStep* steps;
  uint8_t* found; ///< By note: its new pitch
} Line;

// ---- Where a note may go.

static void allow(WayFitStep* s, int pitch) {
  s->to[pitch >> 6] |= UINT64_C(1) << (pitch & 63);
}

static void forbid(WayFitStep* s, int pitch) {
  if (pitch >= 0 && pitch < WAY_MIDI_KEYS && pitch != s->pitch)
    s->to[pitch >> 6] &= ~(UINT64_C(1) << (pitch & 63));
}

static void only_stay(WayFitStep* s) {
  const bool stays = way_fit_step_has(s, s->pitch);
  memset(s->to, 0, sizeof(s->to));
  if (stays) allow(s, s->pitch);
}

/// Allow the pitches of a set that lie within the limits.
static void allow_set(const WayFitChoice* c, const WayNote* note, WayPcSet set,
                      WayFitStep* s) {
  const int bend = note->pitch - note->key;
  int low = note->pitch - (c->snap == WAY_SNAP_UP ? 0 : c->max_distance);
  int high = note->pitch + (c->snap == WAY_SNAP_DOWN ? 0 : c->max_distance);
  if (low < c->low) low = c->low;
  if (high > c->high) high = c->high;
  for (int p = low; p <= high; ++p)
    if (way_pcs_has(set, way_pc(p)) && p - bend >= 0 && p - bend < WAY_MIDI_KEYS)
      allow(s, p);
}

/// Whether note `b` begins while note `a`, begun before it, has not been ended.
static bool sounds_at(const WayNote* a, const WayNote* b) {
  return a->off != WAY_NO_EVENT ? b->on < a->off : b->start < a->start + a->length;
}

// ---- What the music asks of a note.

static const WayTimeline* timeline(const Line* l) { return l->f->choice->chart; }

/// Where a note stands in its bar, and the metre of that.
static WayTick in_bar(const Line* l, uint32_t k, WayMetre* metre) {
  const WayTick onset = way_review_grid(way_review_onset(l->review, k));
  const WayPlace p = way_timeline_at(timeline(l), onset);
  *metre = timeline(l)->bars[p.bar].metre;
  return p.in_bar;
}

static uint8_t strength(const Line* l, uint32_t k) {
  WayMetre m;
  const WayTick at = in_bar(l, k, &m);
  return way_embellish_strength(at, way_metre_beat(m), way_metre_bar(m));
}

static uint16_t weight(const Line* l, uint32_t k, uint8_t strong) {
  const WayTick half = way_review_beat(timeline(l)) / 2;
  const WayTick halves = l->take.notes[k].length / half;
  const int length =
      halves < WAY_FIT_WEIGHT_LENGTH ? (int)halves : WAY_FIT_WEIGHT_LENGTH;
  return (uint16_t)(WAY_FIT_WEIGHT + WAY_FIT_WEIGHT_STRENGTH * strong + length +
                    (l->landing[k] ? WAY_FIT_WEIGHT_LANDING : 0));
}

static bool is_asked(const Line* l, uint32_t k) {
  WayMetre m;
  const WayTick at = in_bar(l, k, &m), beat = way_metre_beat(m);
  switch (l->f->choice->scope) {
  case WAY_SCOPE_BEATS: return at % beat == 0;
  case WAY_SCOPE_STRONG:
    return at % beat == 0 && way_metre_strong(m, (unsigned)(at / beat));
  case WAY_SCOPE_LANDINGS: return l->landing[k];
  case WAY_SCOPE_EVERY:
  case WAY_SCOPE_COUNT: break;
  }
  return true;
}

/// Whether a kind of embellishing tone is to stay.
static bool keeps(unsigned keep, uint8_t kind) {
  switch ((WayEmbellish)kind) {
  case WAY_EMBELLISH_PASSING: return keep & WAY_FIT_KEEP_PASSING;
  case WAY_EMBELLISH_UPPER_NEIGHBOUR:
  case WAY_EMBELLISH_LOWER_NEIGHBOUR:
  case WAY_EMBELLISH_DOUBLE_NEIGHBOUR:
  case WAY_EMBELLISH_INCOMPLETE_NEIGHBOUR: return keep & WAY_FIT_KEEP_NEIGHBOUR;
  case WAY_EMBELLISH_CHROMATIC_APPROACH: return keep & WAY_FIT_KEEP_APPROACH;
  default: return false;
  }
}

static void mark_landings(Line* l) {
  const WayReview* const r = l->review;
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const WayLandingSeen* const seen = &r->landings[i];
    if (seen->arrival > WAY_ARRIVAL_LATE) continue;
    l->landing[seen->first_onset] = 1;
    l->target[seen->first_onset] = timeline(l)->spans[seen->span].target;
  }
}

/// What one note may do, for its own sake.
static void ask(Line* l, uint32_t k) {
  const WayFitChoice* const c = l->f->choice;
  const WayNote* const note = &l->take.notes[k];
  WayFitNote* const told = &l->f->notes[l->notes[k]];
  WayFitStep* const s = &l->steps[k];
  *s = (WayFitStep){.pitch = note->pitch, .weight = 1};
  told->why = WAY_FIT_UNASKED;
  if (told->harmony == WAY_NO_HARMONY) { // the chart has not begun
    allow(s, s->pitch);
    return;
  }
  const WayHarmony* const h = &timeline(l)->harmonies[told->harmony];
  s->weight = weight(l, k, strength(l, k));
  s->price = s->weight;
  const WayDegree target = l->target[k];
  if (target.number) {
    s->price += WAY_FIT_TARGET_PRICE;
    told->why = WAY_FIT_TARGET;
    const WayPc pc =
        way_pc(way_spelling_pc(h->chord.root) + way_degree_semitones(target));
    allow_set(c, note, WAY_PC_BIT(pc), s);
    return;
  }
  told->why = WAY_FIT_MATERIAL;
  allow_set(c, note, h->material[c->material], s);
  if (is_asked(l, k) || way_fit_step_has(s, s->pitch)) return;
  told->why = WAY_FIT_UNASKED;
  if (s->pitch >= c->low && s->pitch <= c->high) allow(s, s->pitch);
}

/// Keep an embellishing tone outside the material, and with it the note it resolves to.
static void keep(Line* l, uint32_t k) {
  const WayFitChoice* const c = l->f->choice;
  WayFitNote* const told = &l->f->notes[l->notes[k]];
  WayFitStep* const s = &l->steps[k];
  WayFitStep* const to = &l->steps[l->review->notes[k].resolves_to];
  const bool outside = told->why == WAY_FIT_UNASKED || (told->why == WAY_FIT_MATERIAL &&
                                                        !way_fit_step_has(s, s->pitch));
  if (!outside || s->pitch < c->low || s->pitch > c->high) return;
  if (to != s && !way_fit_step_has(to, to->pitch)) return;
  allow(s, s->pitch);
  only_stay(s);
  only_stay(to);
  told->why = WAY_FIT_KEPT;
}

/// Notes that sound on past the note after the next are not moved: two notes of the
/// line could then meet on one key.
static void hold(Line* l) {
  for (uint32_t k = 0; k < l->n; ++k) {
    l->f->in_line[l->notes[k]] = 1;
    if (k + 2 >= l->n || !sounds_at(&l->take.notes[k], &l->take.notes[k + 2])) continue;
    l->f->in_line[l->notes[k]] = 0;
    WayFitStep* const s = &l->steps[k];
    only_stay(s);
    if (!way_fit_step_has(s, s->pitch))
      l->f->notes[l->notes[k]].why = WAY_FIT_LEFT_HELD;
  }
}

// ---- Keys that sound already.

/// Forbid the keys that are struck, or let go without a note, while a note sounds.
static void avoid_later(const WayFitter* f, const WayNote* note, WayFitStep* s) {
  const int bend = note->pitch - note->key;
  for (uint32_t e = note->on + 1; e < f->track->n; ++e) {
    if (e == note->off) return;
    const uint8_t* const b = f->track->events[e].bytes;
    if ((b[0] & 0xE0) != WAY_MIDI_NOTE_OFF || way_midi_channel(b) != note->channel)
      continue;
    const uint32_t other = f->owner[e];
    if (other != WAY_NO_NOTE && f->take->notes[other].on == e &&
        !sounds_at(note, &f->take->notes[other]))
      return; // ended with its channel
    if (other == WAY_NO_NOTE || (f->take->notes[other].on == e && !f->in_line[other]))
      forbid(s, b[1] + bend);
  }
}

/// The newest of the notes that may not move, by channel and key: of one key it ends
/// last.
typedef struct {
  const WayNote* last[WAY_MIDI_CHANNELS][WAY_MIDI_KEYS];
  uint64_t struck[WAY_MIDI_CHANNELS][2]; ///< Keys that have one
} Others;

static void note_other(Others* o, const WayNote* note) {
  o->last[note->channel][note->key] = note;
  o->struck[note->channel][note->key >> 6] |= UINT64_C(1) << (note->key & 63);
}

/// Forbid the keys that sound already as a note begins; forget those that do not.
static void avoid_earlier(Others* o, const WayNote* note, WayFitStep* s) {
  for (int key = 0; key < WAY_MIDI_KEYS; ++key) {
    uint64_t* const struck = &o->struck[note->channel][key >> 6];
    const uint64_t bit = UINT64_C(1) << (key & 63);
    if (!*struck) key |= 63; // none in this word
    if (!(*struck & bit)) continue;
    if (sounds_at(o->last[note->channel][key], note))
      forbid(s, key + note->pitch - note->key);
    else
      *struck &= ~bit;
  }
}

/// For the movable notes of a line, forbid the keys of other notes; `place` tells where
/// in the line each note of the take is.  One walk through the events; a note that may
/// move sounds together with few others of its line.
static void avoid_others(Line* l, const uint32_t* place, Others* others) {
  const WayFitter* const f = l->f;
  for (uint32_t e = 0; e < f->track->n; ++e) {
    const uint32_t i = f->owner[e];
    if (i == WAY_NO_NOTE || f->take->notes[i].on != e) continue;
    const WayNote* const note = &f->take->notes[i];
    if (!f->in_line[i]) {
      note_other(others, note);
    } else if (place[i] != WAY_NO_NOTE) {
      avoid_earlier(others, note, &l->steps[place[i]]);
      avoid_later(f, note, &l->steps[place[i]]);
    }
  }
}

static WayStatus avoid_keys(Line* l) {
  const size_t n = l->f->take->n;
  Others* const others = calloc(1, sizeof(*others));
  uint32_t* const place = malloc(n * sizeof(*place));
  const bool room = others && place;
  if (room) {
    memset(place, 0xFF, n * sizeof(*place)); // WAY_NO_NOTE
    for (uint32_t k = 0; k < l->n; ++k) place[l->notes[k]] = k;
    avoid_others(l, place, others);
  }
  free(others);
  free(place);
  return room ? WAY_OK : WAY_ERR_NO_MEMORY;
}

// ---- A line from beginning to end.

static WayFitWhy why_moved(const Line* l, uint32_t k, WayFitWhy asked) {
  const WayFitStep* const s = &l->steps[k];
  const WayFitChoice* const c = l->f->choice;
  if (way_fit_step_has(s, s->pitch)) return WAY_FIT_SHAPE;
  if (s->pitch < c->low || s->pitch > c->high) return WAY_FIT_RANGE;
  return asked;
}

static WayFitWhy why_stayed(const Line* l, uint32_t k, WayFitWhy asked) {
  const WayFitStep* const s = &l->steps[k];
  if (asked == WAY_FIT_KEPT || asked == WAY_FIT_LEFT_HELD) return asked;
  if (way_fit_step_has(s, s->pitch))
    return asked == WAY_FIT_UNASKED ? asked : WAY_FIT_IN;
  return s->to[0] | s->to[1] ? WAY_FIT_LEFT_SHAPE : WAY_FIT_LEFT_FAR;
}

static WayStatus solve(Line* l) {
  mark_landings(l);
  for (uint32_t k = 0; k < l->n; ++k) {
    WayFitNote* const told = &l->f->notes[l->notes[k]];
    told->start = way_review_onset(l->review, k);
    told->harmony = l->review->notes[k].harmony;
    told->kind = l->review->notes[k].kind;
    ask(l, k);
  }
  for (uint32_t k = 0; k < l->n; ++k)
    if (keeps(l->f->choice->keep, l->review->notes[k].kind) &&
        l->review->notes[k].resolves_to != WAY_NO_NOTE)
      keep(l, k);
  hold(l);
  WayStatus st = avoid_keys(l);
  if (!st) st = way_fit_path(l->steps, l->n, l->found);
  for (uint32_t k = 0; !st && k < l->n; ++k) {
    const WayNote* const note = &l->take.notes[k];
    WayFitNote* const told = &l->f->notes[l->notes[k]];
    told->channel = note->channel;
    told->from = note->pitch;
    told->to = l->found[k];
    told->key = (uint8_t)(note->key + told->to - told->from);
    told->why =
        (uint8_t)(told->to == told->from ? why_stayed(l, k, (WayFitWhy)told->why)
                                         : why_moved(l, k, (WayFitWhy)told->why));
  }
  return st;
}

static void line_free(Line* l) {
  way_review_free(l->review);
  if (l->take.notes != l->f->take->notes) free(l->take.notes);
  free(l->landing);
  free(l->target);
  free(l->steps);
  free(l->found);
}

WayStatus way_fit_line(WayFitter* f, const uint32_t* notes, uint32_t n) {
  if (!n) return WAY_OK;
  Line l = {.f = f, .n = n, .notes = notes, .take = {.n = n}};
  // A melody of one part is its own line.
  const bool whole = n == f->take->n;
  l.take.notes = whole ? f->take->notes : malloc(n * sizeof(*l.take.notes));
  l.landing = calloc(n, sizeof(*l.landing));
  l.target = calloc(n, sizeof(*l.target));
  l.steps = malloc(n * sizeof(*l.steps));
  l.found = malloc(n);
  WayStatus st = WAY_ERR_NO_MEMORY;
  if (l.take.notes && l.landing && l.target && l.steps && l.found) {
    for (uint32_t k = 0; !whole && k < n; ++k)
      l.take.notes[k] = f->take->notes[notes[k]];
    WayReview* review = NULL;
    st = way_review_new(&l.take, f->choice->chart, f->choice->origin, f->choice->early,
                        &review);
    l.review = review;
  }
  if (!st) st = solve(&l);
  line_free(&l);
  return st;
}
