#include "take/fit.h"

#include "base/midi.h"
#include "take/fit_path.h"
#include "take/review.h"

#include <stdlib.h>
#include <string.h>

#define NONE UINT32_MAX

const char* way_fit_why_name(WayFitWhy why) {
  static const char* const names[] = {
      "in the material",
      "kept",
      "not asked for",
      "outside the material",
      "planned target",
      "outside the range",
      "moves along",
      "left: no place within the limits",
      "left: sounds on under later notes",
      "left: the shape has no room",
  };
  return (unsigned)why < WAY_COUNT(names) ? names[why] : "";
}

WayFitChoice way_fit_choice_default(void) {
  return (WayFitChoice){.melody = {.track = -1},
                        .material = WAY_MATERIAL_CHORD_SCALE,
                        .max_distance = 12,
                        .high = WAY_MIDI_KEYS - 1};
}

/// Everything at hand while a fit is made.
typedef struct {
  const WaySmfTrack* track;
  const WayFitChoice* choice;
  const WayTake* take;
  uint32_t* owner;   ///< By event of the track: the note it begins or ends, or NONE
  uint8_t* in_line;  ///< By note: it may move
  WayFitNote* notes; ///< By note
} Fitter;

/// One line while it is fitted.
typedef struct {
  Fitter* f;
  uint32_t n;
  const uint32_t* notes; ///< Indices into the take's
  WayTake take;          ///< The line's notes alone
  WayReview* review;     ///< Of that take
  uint8_t* landing;      ///< By note: it meets a change of chord
  WayDegree* target;     ///< By note: planned for it; number 0 if none
  WayFitStep* steps;
  uint8_t* found; ///< By note: its new pitch
} Line;

// ---- Lines.

/// Where the line's notes end, by pitch.
typedef struct {
  WayTick ends[WAY_MIDI_KEYS];
  uint64_t sounding[2]; ///< Pitches that may not have ended yet
} Ends;

/// Whether a note begins under a line note that sounds on over more than half of it.
static bool is_below(Ends* e, const WayNote* note) {
  for (unsigned word = note->pitch >> 6; word < 2; ++word) {
    uint64_t above = e->sounding[word];
    if (word == note->pitch >> 6) above &= ~UINT64_C(1) << (note->pitch & 63);
    for (; above; above &= above - 1) {
      const WayTick end = e->ends[64 * word + (unsigned)__builtin_ctzll(above)];
      if (end <= note->start)
        e->sounding[word] &= ~(above & -above);
      else if (2 * (end - note->start) > note->length)
        return true;
    }
  }
  return false;
}

/// Gather the top line of a channel (-1: of all) into `notes`; returns how many.
static uint32_t gather(const WayTake* take, int channel, bool drums, uint32_t* notes) {
  Ends e = {{0}, {0}};
  WayTick before = 0; // what stood there for the last line note's pitch
  uint32_t n = 0;
  for (uint32_t i = 0; i < take->n; ++i) {
    const WayNote* const note = &take->notes[i];
    if (channel < 0 ? note->channel == WAY_MIDI_DRUMS && !drums
                    : note->channel != channel)
      continue;
    const WayNote* const last = n ? &take->notes[notes[n - 1]] : NULL;
    if (last && note->start - last->start <= WAY_REVIEW_AT_ONCE) {
      if (note->pitch <= last->pitch) continue;
      e.ends[last->pitch] = before; // it was no top note
      --n;
    } else if (is_below(&e, note)) {
      continue;
    }
    notes[n++] = i;
    before = e.ends[note->pitch];
    const WayTick end = note->start + note->length;
    if (end > before) e.ends[note->pitch] = end;
    e.sounding[note->pitch >> 6] |= UINT64_C(1) << (note->pitch & 63);
  }
  return n;
}

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
static void avoid_later(const Fitter* f, const WayNote* note, WayFitStep* s) {
  const int bend = note->pitch - note->key;
  for (uint32_t e = note->on + 1; e < f->track->n; ++e) {
    if (e == note->off) return;
    const uint8_t* const b = f->track->events[e].bytes;
    if ((b[0] & 0xE0) != WAY_MIDI_NOTE_OFF || way_midi_channel(b) != note->channel)
      continue;
    const uint32_t other = f->owner[e];
    if (other != NONE && f->take->notes[other].on == e &&
        !sounds_at(note, &f->take->notes[other]))
      return; // ended with its channel
    if (other == NONE || (f->take->notes[other].on == e && !f->in_line[other]))
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

/// For the movable notes of a line, forbid the keys of other notes.  One walk through
/// the events; a note that may move sounds together with few others of its line.
static WayStatus avoid_keys(Line* l) {
  const Fitter* const f = l->f;
  Others* const others = calloc(1, sizeof(*others));
  uint32_t* const place = malloc((f->take->n + (size_t)1) * sizeof(*place)); // in line
  const bool room = others && place;
  if (room) memset(place, 0xFF, f->take->n * sizeof(*place));
  for (uint32_t k = 0; room && k < l->n; ++k) place[l->notes[k]] = k;
  for (uint32_t e = 0; room && e < f->track->n; ++e) {
    const uint32_t i = f->owner[e];
    if (i == NONE || f->take->notes[i].on != e) continue;
    const WayNote* const note = &f->take->notes[i];
    if (!f->in_line[i]) {
      note_other(others, note);
    } else if (place[i] != NONE) {
      avoid_earlier(others, note, &l->steps[place[i]]);
      avoid_later(f, note, &l->steps[place[i]]);
    }
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

static WayStatus fit_line(Fitter* f, const uint32_t* notes, uint32_t n) {
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
    st = way_review_new(&l.take, f->choice->chart, f->choice->origin, f->choice->early,
                        &l.review);
  }
  if (!st) st = solve(&l);
  line_free(&l);
  return st;
}

// ---- All lines, and the bytes of their notes.

static bool all_drums(const WayTake* take) {
  uint32_t i = 0;
  while (i < take->n && take->notes[i].channel == WAY_MIDI_DRUMS) ++i;
  return i == take->n;
}

static WayStatus fit_lines(Fitter* f) {
  uint32_t* const notes = malloc((f->take->n + 1) * sizeof(*notes));
  if (!notes) return WAY_ERR_NO_MEMORY;
  const bool drums =
      f->choice->melody.channel == WAY_MIDI_DRUMS + 1 || all_drums(f->take);
  WayStatus st = WAY_OK;
  if (!f->choice->by_channel) {
    st = fit_line(f, notes, gather(f->take, -1, drums, notes));
  } else {
    for (int channel = 0; !st && channel < WAY_MIDI_CHANNELS; ++channel)
      if (channel != WAY_MIDI_DRUMS || drums)
        st = fit_line(f, notes, gather(f->take, channel, drums, notes));
  }
  free(notes);
  return st;
}

/// The note an event is about; NONE for others.  `sounding` follows the keys.
static uint32_t note_of(const Fitter* f, uint32_t e,
                        uint32_t sounding[WAY_MIDI_CHANNELS][WAY_MIDI_KEYS]) {
  const uint8_t* const b = f->track->events[e].bytes;
  if (f->owner[e] != NONE) {
    uint32_t* const now = &sounding[way_midi_channel(b)][b[1]];
    const bool begins = f->take->notes[f->owner[e]].on == e;
    if (begins)
      *now = f->owner[e];
    else if (*now == f->owner[e])
      *now = NONE;
    return f->owner[e];
  }
  if (way_midi_kind(b) != WAY_MIDI_KEY_PRESSURE) return NONE;
  return sounding[way_midi_channel(b)][b[1]];
}

/// List the places of the note numbers that change: behind the status of a message, if
/// it has one of its own.
static WayStatus list_bytes(const Fitter* f, const uint8_t* file, WayFit* fit) {
  uint32_t(*const sounding)[WAY_MIDI_KEYS] =
      malloc(WAY_MIDI_CHANNELS * sizeof(*sounding));
  uint32_t* const about = malloc((f->track->n + (size_t)1) * sizeof(*about));
  WayStatus st = sounding && about ? WAY_OK : WAY_ERR_NO_MEMORY;
  for (uint32_t e = 0; !st && e < f->track->n; ++e) {
    if (!e) memset(sounding, 0xFF, WAY_MIDI_CHANNELS * sizeof(*sounding));
    about[e] = note_of(f, e, sounding);
    if (about[e] == NONE || f->notes[about[e]].to == f->notes[about[e]].from) {
      about[e] = NONE;
      continue;
    }
    ++f->notes[about[e]].n_bytes;
    ++fit->n_bytes;
  }
  if (!st) fit->bytes = malloc((fit->n_bytes + (size_t)1) * sizeof(*fit->bytes));
  if (!fit->bytes) st = WAY_ERR_NO_MEMORY;
  uint32_t first = 0;
  for (uint32_t i = 0; !st && i < f->take->n; ++i) {
    f->notes[i].first_byte = first;
    first += f->notes[i].n_bytes;
    f->notes[i].n_bytes = 0;
  }
  for (uint32_t e = 0; !st && e < f->track->n; ++e) {
    if (about[e] == NONE) continue;
    WayFitNote* const note = &f->notes[about[e]];
    const uint32_t at = f->track->events[e].offset;
    fit->bytes[note->first_byte + note->n_bytes++] = at + (file[at] >= 0x80);
  }
  free(sounding);
  free(about);
  return st;
}

/// Keep the notes of lines alone.
static void gather_told(const Fitter* f, WayFit* fit) {
  for (uint32_t i = 0; i < f->take->n; ++i) {
    if (f->notes[i].why == WAY_FIT_WHY_COUNT)
      ++fit->below;
    else
      f->notes[fit->n++] = f->notes[i];
  }
  fit->notes = f->notes;
}

static WayStatus fit_take(Fitter* f, const uint8_t* file, WayFit* fit) {
  const uint32_t n = f->take->n;
  f->owner = malloc((f->track->n + (size_t)1) * sizeof(*f->owner));
  f->in_line = calloc(n + (size_t)1, 1);
  f->notes = calloc(n + (size_t)1, sizeof(*f->notes));
  WayStatus st = WAY_ERR_NO_MEMORY;
  if (f->owner && f->in_line && f->notes) {
    memset(f->owner, 0xFF, f->track->n * sizeof(*f->owner));
    for (uint32_t i = 0; i < n; ++i) {
      f->notes[i].why = WAY_FIT_WHY_COUNT;
      f->owner[f->take->notes[i].on] = i;
      if (f->take->notes[i].off != WAY_NO_EVENT) f->owner[f->take->notes[i].off] = i;
    }
    st = fit_lines(f);
  }
  if (!st) st = list_bytes(f, file, fit);
  if (!st)
    gather_told(f, fit);
  else
    free(f->notes);
  free(f->owner);
  free(f->in_line);
  return st;
}

WayStatus way_fit_new(const uint8_t* bytes, const WaySmf* smf,
                      const WayFitChoice* choice, WayFit** out, WayError* error) {
  WayTake* take = NULL;
  WayStatus st = way_take_new(smf, &choice->melody, &take, error);
  if (st) return st;
  WayFit* const fit = calloc(1, sizeof(*fit));
  Fitter f = {.track = &smf->tracks[take->track], .choice = choice, .take = take};
  st = fit ? fit_take(&f, bytes, fit) : WAY_ERR_NO_MEMORY;
  if (!st) fit->track = take->track;
  way_take_free(take);
  if (st) {
    way_fit_free(fit);
    return way_fail(st,
                    st == WAY_ERR_UNSUPPORTED
                        ? "the take goes on for over a million changes of chord"
                        : way_strerror(st),
                    error);
  }
  *out = fit;
  return WAY_OK;
}

void way_fit_apply(const WayFit* fit, uint8_t* bytes) {
  for (uint32_t i = 0; i < fit->n; ++i)
    for (uint32_t b = 0; b < fit->notes[i].n_bytes; ++b)
      bytes[fit->bytes[fit->notes[i].first_byte + b]] = fit->notes[i].key;
}

void way_fit_free(WayFit* fit) {
  if (!fit) return;
  free(fit->notes);
  free(fit->bytes);
  free(fit);
}
