#include "take/backing_parts.h"

#include "chart/grow.h"
#include "take/backing_chords.h"
#include "take/backing_voicing.h"

#include <stdlib.h>

/// How hard notes are struck at level 100, and the keys of the click (General MIDI:
/// high and low wood block).
enum {
  LOUD = 90,
  SOFT = 74,
  BASS_VELOCITY = 100,
  CLICK_LOUD = 84,
  CLICK_SOFT = 66,
  CHORDS_VELOCITY = 64,
  CLICK_FIRST = 76,
  CLICK_OTHER = 77,
};

/// Range of the bass, E1 to E3, and about where it begins.
enum { BASS_LOW = 28, BASS_HIGH = 52, BASS_MIDDLE = 38 };

/// What is made of what, and where it goes.
typedef struct {
  const WayTimeline* t;
  const WayBackingChoice* choice;
  WayPartNotes* parts;
} Maker;

static uint8_t velocity(const WayBackingChoice* choice, int at_full) {
  const int v = at_full * choice->level / 100;
  return (uint8_t)(v < 1 ? 1 : v);
}

static WayStatus add_note(const Maker* m, WayPart part, WayPartNote note) {
  WayPartNotes* const p = &m->parts[part];
  WayPartNote* const notes = way_grow(p->notes, p->n, &p->room, sizeof(*notes));
  if (!notes) return WAY_ERR_NO_MEMORY;
  p->notes = notes;
  notes[p->n++] = note;
  return WAY_OK;
}

static const WayChord* chord_of(const Maker* m, uint32_t span) {
  return &way_timeline_harmony(m->t, span)->chord;
}

// ---- Hits: where a pattern strikes each chord.

/// Hits of the whole form, chord after chord.
typedef struct {
  WayHit* hits;    ///< By start
  uint32_t* first; ///< By span, and one more: its first hit
  uint32_t n, room;
} Hits;

static void hits_free(Hits* h) {
  free(h->hits);
  free(h->first);
}

static WayStatus add_hit(Hits* h, WayHit hit) {
  WayHit* const hits = way_grow(h->hits, h->n, &h->room, sizeof(*hits));
  if (!hits) return WAY_ERR_NO_MEMORY;
  h->hits = hits;
  hits[h->n++] = hit;
  return WAY_OK;
}

static WayFeel feel_of(const Maker* m, WayMetre metre) {
  return m->choice->feel == WAY_FEEL_COUNT ? way_feel_of_metre(metre) : m->choice->feel;
}

/// All hits of the patterns, bar after bar.
static WayStatus list_pattern(const Maker* m, WayFeelPart part, Hits* out) {
  for (uint32_t b = 0; b < m->t->n_bars; ++b) {
    const WayBar* const bar = &m->t->bars[b];
    const uint32_t in_section = b - m->t->sections[bar->section].first_bar;
    WayHit hits[WAY_HITS_MAX];
    const unsigned n =
        way_feel_bar(feel_of(m, bar->metre), part, bar->metre, in_section, hits);
    for (unsigned i = 0; i < n; ++i) {
      hits[i].start += bar->start;
      if (add_hit(out, hits[i])) return WAY_ERR_NO_MEMORY;
    }
  }
  return WAY_OK;
}

/// Deal the hits of a pattern out to the chords.  A chord that would wait for longer
/// than `patience` for its first hit is struck as it comes, and no hit goes on past its
/// chord.
static WayStatus deal(const Maker* m, const Hits* pattern, WayTick patience,
                      Hits* out) {
  uint32_t next = 0;
  out->first = malloc((m->t->n_spans + (size_t)1) * sizeof(*out->first));
  if (!out->first) return WAY_ERR_NO_MEMORY;
  for (uint32_t s = 0; s < m->t->n_spans; ++s) {
    const WayTick start = m->t->spans[s].start, end = way_timeline_span_end(m->t, s);
    out->first[s] = out->n;
    const WayTick first = next < pattern->n && pattern->hits[next].start < end
                              ? pattern->hits[next].start
                              : end;
    const WayHit own = {start, first - start, true, WAY_BASS_ROOT};
    if ((first - start > patience || first == end) && add_hit(out, own))
      return WAY_ERR_NO_MEMORY;
    for (; next < pattern->n && pattern->hits[next].start < end; ++next) {
      WayHit hit = pattern->hits[next];
      if (hit.start + hit.length > end) hit.length = end - hit.start;
      if (add_hit(out, hit)) return WAY_ERR_NO_MEMORY;
    }
  }
  out->first[m->t->n_spans] = out->n;
  return WAY_OK;
}

static WayStatus make_hits(const Maker* m, WayFeelPart part, WayTick patience,
                           Hits* out) {
  Hits pattern = {0};
  WayStatus st = list_pattern(m, part, &pattern);
  if (!st) st = deal(m, &pattern, patience, out);
  hits_free(&pattern);
  return st;
}

// ---- Comping.

static WayStatus comp_hits(const Maker* m, const Hits* hits,
                           const WayVoicing* voicings) {
  for (uint32_t s = 0; s < m->t->n_spans; ++s)
    for (uint32_t h = hits->first[s]; h < hits->first[s + 1]; ++h) {
      const WayHit* const hit = &hits->hits[h];
      for (unsigned v = 0; v < voicings[s].n; ++v) {
        const WayPartNote note = {hit->start, hit->start + hit->length,
                                  voicings[s].pitch[v],
                                  velocity(m->choice, hit->accent ? LOUD : SOFT)};
        if (add_note(m, WAY_PART_COMPING, note)) return WAY_ERR_NO_MEMORY;
      }
    }
  return WAY_OK;
}

static WayStatus make_comping(const Maker* m) {
  const uint32_t n = m->t->n_spans;
  const WayChord** const chords = malloc(n * sizeof(const WayChord*)); // NOLINT
  WayVoicing* const voicings = malloc(n * sizeof(*voicings));
  Hits hits = {0};
  WayStatus st = chords && voicings ? WAY_OK : WAY_ERR_NO_MEMORY;
  for (uint32_t s = 0; !st && s < n; ++s) chords[s] = chord_of(m, s);
  if (!st) st = way_voicings_lead(chords, n, voicings);
  if (!st) st = make_hits(m, WAY_FEEL_COMPING, WAY_TICKS_PER_QUARTER, &hits);
  if (!st) st = comp_hits(m, &hits, voicings);
  free(chords);
  free(voicings);
  hits_free(&hits);
  return st;
}

// ---- Bass.

/// The pitch of a class nearest to `from` within the bass's range; of two the lower.
static int bass_near(WayPc pc, int from) {
  int best = BASS_LOW + way_pc(pc - BASS_LOW);
  for (int p = best; p <= BASS_HIGH; p += 12)
    if (abs(p - from) < abs(best - from)) best = p;
  return best;
}

static WayPc bass_pc(const WayChord* c) { return way_spelling_pc(c->bass); }

/// The first tone with one of some numbers, as a pitch class; else the bass.
static WayPc tone_pc(const WayChord* c, const char* numbers) {
  for (; *numbers; ++numbers) {
    const WayDegree* const d = way_chord_tone_numbered(c, *numbers - '0');
    if (d) return way_pc(way_spelling_pc(c->root) + way_degree_pc(*d));
  }
  return bass_pc(c);
}

/// The chord after span `s`; the form goes round.
static const WayChord* chord_after(const Maker* m, uint32_t s) {
  return chord_of(m, (s + 1) % m->t->n_spans);
}

static int bass_pitch(const Maker* m, uint32_t s, const WayHit* hit, int root) {
  const WayChord* const c = chord_of(m, s);
  const WayChord* const after = chord_after(m, s);
  const bool last = hit->start + hit->length == way_timeline_span_end(m->t, s);
  switch ((WayBassTone)hit->tone) {
  case WAY_BASS_THIRD: return bass_near(tone_pc(c, "342"), root + 4);
  case WAY_BASS_OCTAVE: return root + 12 <= BASS_HIGH ? root + 12 : root;
  case WAY_BASS_APPROACH:
    if (last && !way_chord_is_none(after)) {
      const int next = bass_near(bass_pc(after), root);
      return next + (next > root || next == BASS_LOW ? -1 : 1);
    }
    return bass_near(tone_pc(c, "5"), root + 7);
  case WAY_BASS_FIFTH: return bass_near(tone_pc(c, "5"), root + 7);
  default: return root;
  }
}

static WayStatus make_bass(const Maker* m) {
  Hits hits = {0};
  WayStatus st = make_hits(m, WAY_FEEL_BASS, 0, &hits);
  int root = BASS_MIDDLE;
  for (uint32_t s = 0; !st && s < m->t->n_spans; ++s) {
    if (way_chord_is_none(chord_of(m, s))) continue;
    root = bass_near(bass_pc(chord_of(m, s)), root);
    for (uint32_t h = hits.first[s]; !st && h < hits.first[s + 1]; ++h) {
      WayHit hit = hits.hits[h];
      if (h == hits.first[s]) hit.tone = WAY_BASS_ROOT;
      const int key = bass_pitch(m, s, &hit, root);
      st = add_note(m, WAY_PART_BASS,
                    (WayPartNote){hit.start, hit.start + hit.length, (uint8_t)key,
                                  velocity(m->choice, BASS_VELOCITY)});
    }
  }
  hits_free(&hits);
  return st;
}

// ---- Click, and the chords for the guide.

WayPartNote way_backing_click(const WayBackingChoice* choice, WayTick bar,
                              WayMetre metre, int beat) {
  const WayTick length = way_metre_beat(metre), start = bar + beat * length;
  return (WayPartNote){start, start + length / 2, beat ? CLICK_OTHER : CLICK_FIRST,
                       velocity(choice, beat ? CLICK_SOFT : CLICK_LOUD)};
}

static WayStatus make_click(const Maker* m) {
  WayStatus st = WAY_OK;
  for (uint32_t b = 0; b < m->t->n_bars; ++b) {
    const WayBar* const bar = &m->t->bars[b];
    for (int beat = 0; !st && beat < bar->metre.beats; ++beat)
      st = add_note(m, WAY_PART_CLICK,
                    way_backing_click(m->choice, bar->start, bar->metre, beat));
  }
  return st;
}

static WayStatus make_chords(const Maker* m) {
  WayBlockEar ear = {0};
  for (uint32_t s = 0; s < m->t->n_spans; ++s) {
    const WayBlock block = way_block_of(chord_of(m, s), &m->t->key, &ear);
    for (unsigned i = 0; i < block.n; ++i) {
      const WayPartNote note = {m->t->spans[s].start, way_timeline_span_end(m->t, s),
                                block.key[i], CHORDS_VELOCITY};
      if (add_note(m, WAY_PART_CHORDS, note)) return WAY_ERR_NO_MEMORY;
    }
  }
  return WAY_OK;
}

// ---- All of it.

WayStatus way_backing_parts(const WayTimeline* timeline, const WayBackingChoice* choice,
                            WayPartNotes out[WAY_PART_COUNT]) {
  const Maker m = {timeline, choice, out};
  for (int p = 0; p < WAY_PART_COUNT; ++p) out[p] = (WayPartNotes){0};
  WayStatus st = make_comping(&m);
  if (!st) st = make_bass(&m);
  if (!st) st = make_click(&m);
  if (!st) st = make_chords(&m);
  return st;
}

void way_backing_parts_clear(WayPartNotes parts[WAY_PART_COUNT]) {
  for (int p = 0; p < WAY_PART_COUNT; ++p) {
    free(parts[p].notes);
    parts[p] = (WayPartNotes){0};
  }
}
