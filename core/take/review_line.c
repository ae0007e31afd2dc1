#include "take/review_line.h"

#include "take/big.h"

#include <stdlib.h>

/// How many notes on a tension may resolve: as far as an enclosure or turn delays it.
#define NOTES_ON 3

/// The line while it is looked at.
typedef struct {
  WayReview* r;
  uint32_t n;
  uint32_t* notes; // indices into the take's
  WayMelodyNote* melody;
  uint8_t* kinds;
  WayTick change;             // the first change behind the note looked at
  WayTick bar_start, bar_end; // the bar looked at last
  WayMetre metre;             // and its metre
} Line;

/// Gather the top notes; returns how many there are.
static uint32_t gather(const WayReview* r, uint32_t* notes) {
  uint32_t n = 0;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayNote* const note = &r->take->notes[i];
    const WayNote* const last = n ? &r->take->notes[notes[n - 1]] : NULL;
    if (!last || note->start - last->start > WAY_REVIEW_AT_ONCE)
      notes[n++] = i;
    else if (note->pitch > last->pitch)
      notes[n - 1] = i;
  }
  return n;
}

/// The harmony a note ends over; NULL before the chart, or if it is the one it begins
/// over.  An end just behind a change still belongs to the chord before it.  To be
/// asked note by note.
static const WayHarmony* harmony_at_end(Line* l, uint32_t i) {
  const WayReview* const r = l->r;
  const WayTimeline* const t = r->timeline;
  const WayTick onset = way_review_onset(r, i);
  const WayTick end = onset + r->take->notes[i].length - WAY_REVIEW_AT_ONCE;
  if (r->notes[i].harmony == WAY_NO_HARMONY && end <= 0) return NULL;
  if (onset < 0)
    l->change = 0;
  else if (onset >= l->change)
    l->change = way_timeline_next_change(t, onset);
  if (end <= l->change) return NULL;
  return way_timeline_harmony(t, way_timeline_at(t, end).span);
}

static uint8_t strength(Line* l, WayTick onset) {
  const WayTimeline* const t = l->r->timeline;
  const WayTick tick = way_review_grid(onset);
  if (tick < l->bar_start || tick >= l->bar_end) {
    const WayPlace p = way_timeline_at(t, tick);
    l->metre = t->bars[p.bar].metre;
    l->bar_start = tick - p.in_bar;
    l->bar_end = l->bar_start + way_metre_bar(l->metre);
  }
  return way_embellish_strength(tick - l->bar_start, way_metre_beat(l->metre),
                                l->bar_end - l->bar_start);
}

static WayMelodyNote melody_note(Line* l, uint32_t k) {
  WayReview* const r = l->r;
  const uint32_t i = l->notes[k];
  const WayNote* const note = &r->take->notes[i];
  const WayHarmony* const end = harmony_at_end(l, i);
  WayMelodyNote m = {.pitch = note->pitch,
                     .strength = strength(l, way_review_onset(r, i))};
  if (k) {
    const WayNote* const before = &r->take->notes[l->notes[k - 1]];
    m.after_rest =
        note->start - before->start - before->length >= way_review_beat(r->timeline);
  }
  m.chord_tone = r->notes[i].role.role == WAY_ROLE_CHORD;
  m.chord_tone_at_end = end ? way_harmony_role(end, note->pitch).role == WAY_ROLE_CHORD
                            : m.chord_tone && r->notes[i].harmony != WAY_NO_HARMONY;
  m.chromatic = r->notes[i].role.role == WAY_ROLE_CHROMATIC;
  if (end && way_pcs_has(way_chord_basic_pcs(&end->chord), way_pc(note->pitch)))
    r->notes[i].resolves_to = i; // if it is a tension at all
  return m;
}

static bool over_chord(const WayReview* r, uint32_t i) {
  const uint32_t h = r->notes[i].harmony;
  return h != WAY_NO_HARMONY && !way_chord_is_none(&r->timeline->harmonies[h].chord);
}

static bool is_step(int from, int to) { return abs(to - from) <= 2; }

static uint32_t resolution(const Line* l, uint32_t k) {
  const WayReview* const r = l->r;
  const uint32_t i = l->notes[k];
  const uint8_t pitch = r->take->notes[i].pitch;
  if (r->notes[i].resolves_to == i) return i;
  for (uint32_t on = k + 1; on < l->n && on <= k + NOTES_ON; ++on) {
    if (l->melody[on].after_rest) break;
    const uint32_t to = l->notes[on];
    if (r->notes[to].basic)
      return is_step(pitch, r->take->notes[to].pitch) ? to : WAY_NO_NOTE;
  }
  return WAY_NO_NOTE;
}

static bool steps_next(const Line* l, uint32_t k) {
  if (k + 1 == l->n) return false;
  const int from = l->melody[k].pitch, to = l->melody[k + 1].pitch;
  return from != to && is_step(from, to) && l->r->notes[l->notes[k + 1]].basic;
}

static void fill(Line* l) {
  WayReview* const r = l->r;
  WayReviewTotals* const t = &r->totals;
  for (uint32_t k = 0; k < l->n; ++k) l->melody[k] = melody_note(l, k);
  way_embellish(l->melody, l->n, l->kinds);
  for (uint32_t k = 0; k < l->n; ++k) {
    WayReviewNote* const note = &r->notes[l->notes[k]];
    const bool over = over_chord(r, l->notes[k]);
    note->resolves_to = over && !note->basic ? resolution(l, k) : WAY_NO_NOTE;
    if (!over) continue;
    note->kind = l->kinds[k];
    ++t->kinds[note->kind];
    if (note->basic) continue;
    ++t->tensions;
    t->resolved += note->resolves_to != WAY_NO_NOTE;
    t->stepped += steps_next(l, k);
  }
}

WayStatus way_review_line(WayReview* r) {
  const uint32_t n = r->take->n;
  for (uint32_t i = 0; i < n; ++i) {
    r->notes[i].kind = WAY_EMBELLISH_COUNT;
    r->notes[i].resolves_to = WAY_NO_NOTE;
  }
  Line l = {.r = r,
            .change = INT64_MIN,
            .notes = way_big_resize(NULL, (n + (size_t)1) * sizeof(*l.notes))};
  if (l.notes) l.n = gather(r, l.notes);
  l.melody = way_big_resize(NULL, (l.n + (size_t)1) * sizeof(*l.melody));
  l.kinds = malloc(l.n + 1);
  const bool room = l.notes && l.melody && l.kinds;
  if (room) fill(&l);
  free(l.notes);
  free(l.melody);
  free(l.kinds);
  return room ? WAY_OK : WAY_ERR_NO_MEMORY;
}
