#include "take/review.h"

#include <stdlib.h>

/// Half a sixteenth note: what comes sooner after a change is on time for it.
#define ON_TIME (WAY_TICKS_PER_QUARTER / 8)

const char* way_arrival_name(WayArrival arrival) {
  static const char* const names[] = {"early", "on time", "late", "held over", "none"};
  return names[arrival];
}

WayTick way_review_beat(const WayTimeline* t) {
  return way_metre_beat(t->bars[0].metre);
}

WayReviewPlace way_review_place(const WayTimeline* t, WayTick tick) {
  const WayPlace p = way_timeline_at(t, tick);
  if (tick >= 0)
    return (WayReviewPlace){p.chorus + 1, (int64_t)p.bar + 1, p.section, p.in_bar};
  const int64_t bar = p.chorus * (int64_t)t->n_bars + p.bar + 1;
  return (WayReviewPlace){0, bar, p.section, p.in_bar};
}

WayTick way_review_bar_beat(const WayTimeline* t, WayTick tick) {
  return way_metre_beat(t->bars[way_timeline_at(t, tick).bar].metre);
}

// ---- Notes.

static bool is_basic(const WayHarmony* h, uint8_t pitch) {
  return way_pcs_has(way_chord_basic_pcs(&h->chord), way_pc(pitch));
}

/// The span a note belongs to; #WAY_NO_HARMONY before the chart.  `*until` is the first
/// onset for which that may change.
static uint32_t span_of(const WayReview* r, WayTick onset, WayTick* until) {
  const WayTimeline* const t = r->timeline;
  *until = onset + 1;
  if (onset < -r->early) return WAY_NO_HARMONY;
  if (onset < 0) return 0;
  const WayTick next = way_timeline_next_change(t, onset);
  if (next == INT64_MAX || next - r->early > onset)
    *until = next == INT64_MAX ? next : next - r->early;
  return way_timeline_span_for(t, onset, r->early);
}

static void review_notes(WayReview* r) {
  const WayTimeline* const t = r->timeline;
  const WayChord silence = way_chord_none();
  const WayHarmony before = way_harmony(&silence, t->key, &t->loop);
  const WayHarmony* h = &before;
  uint32_t span = WAY_NO_HARMONY;
  WayTick until = INT64_MIN;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const uint8_t pitch = r->take->notes[i].pitch;
    const WayTick onset = way_review_onset(r, i);
    if (onset >= until) {
      span = span_of(r, onset, &until);
      h = span == WAY_NO_HARMONY ? &before : way_timeline_harmony(t, span);
    }
    WayReviewNote* const note = &r->notes[i];
    note->harmony = span == WAY_NO_HARMONY ? span : t->spans[span].harmony;
    note->role = way_harmony_role(h, pitch);
    note->name = way_harmony_spell(h, way_pc(pitch));
    note->basic = is_basic(h, pitch);
    ++r->totals.roles[note->role.role];
    r->totals.basic += note->basic;
    if (way_chord_is_none(&h->chord))
      ++r->totals.without_chord;
    else
      ++r->totals
            .degrees[note->role.degree.number][note->role.degree.alter + WAY_ALTER_MAX];
  }
}

// ---- Landings.

/// Walks through the changes beside the notes.
typedef struct {
  WayReview* r;
  uint32_t room;
  uint32_t next; // first note that belongs to no earlier change
  // Notes begun before `next` that may still sound at a later change: latest begun
  // last, and each ends later than those above it.
  uint32_t* sounding;
  uint32_t n_sounding;
} Walk;

static WayTick note_end(const WayReview* r, uint32_t i) {
  return way_review_onset(r, i) + r->take->notes[i].length;
}

/// Pass over the notes that begin before `tick`.
static void pass_notes(Walk* w, WayTick tick) {
  while (w->next < w->r->take->n && way_review_onset(w->r, w->next) < tick) {
    const uint32_t i = w->next++;
    while (w->n_sounding &&
           note_end(w->r, w->sounding[w->n_sounding - 1]) <= note_end(w->r, i))
      --w->n_sounding;
    w->sounding[w->n_sounding++] = i;
  }
}

/// The latest note passed that still sounds at `tick`.
static uint32_t still_sounding(Walk* w, WayTick tick) {
  while (w->n_sounding && note_end(w->r, w->sounding[w->n_sounding - 1]) <= tick)
    --w->n_sounding;
  return w->n_sounding ? w->sounding[w->n_sounding - 1] : WAY_NO_NOTE;
}

static WayArrival arrival(const WayReview* r, const WayLandingSeen* l) {
  if (l->first_onset != WAY_NO_NOTE) {
    const WayTick lag = way_review_onset(r, l->first_onset) - l->change;
    if (lag < 0) return WAY_ARRIVAL_EARLY;
    if (lag <= ON_TIME) return WAY_ARRIVAL_ON_TIME;
    if (lag <= way_review_beat(r->timeline)) return WAY_ARRIVAL_LATE;
  }
  return l->held_over == WAY_NO_NOTE ? WAY_ARRIVAL_NONE : WAY_ARRIVAL_HELD;
}

/// What the landing note is to the new chord.
static void describe(const WayReview* r, WayLandingSeen* l) {
  const WayHarmony* const h = way_timeline_harmony(r->timeline, l->span);
  const WayDegree target = r->timeline->spans[l->span].target;
  const uint8_t pitch = r->take->notes[l->note].pitch;
  l->role = way_harmony_role(h, pitch);
  l->basic = is_basic(h, pitch);
  l->met = target.number && way_degree_pc(target) == l->role.interval;
}

static void count(WayReviewTotals* t, const WayLandingSeen* l, bool planned) {
  ++t->arrivals[l->arrival];
  t->targets += planned;
  t->targets_met += l->met;
  if (l->note == WAY_NO_NOTE) return;
  ++t->landed;
  t->landed_chord += l->role.role == WAY_ROLE_CHORD;
  t->landed_basic += l->basic;
}

static WayStatus push(Walk* w, WayLandingSeen landing) {
  WayReview* const r = w->r;
  if (r->n_landings == w->room) {
    const uint32_t room = w->room ? 2 * w->room : 64;
    WayLandingSeen* const more = realloc(r->landings, room * sizeof(*more));
    if (!more) return WAY_ERR_NO_MEMORY;
    r->landings = more;
    w->room = room;
  }
  r->landings[r->n_landings++] = landing;
  return WAY_OK;
}

/// The landing at a change, where notes from `from` on belong to the new chord, and
/// from `until` on to the one after it.
static WayStatus land(Walk* w, WayTick change, WayTick from, WayTick until) {
  WayReview* const r = w->r;
  pass_notes(w, from);
  WayLandingSeen l = {.change = change,
                      .span = way_timeline_at(r->timeline, change).span};
  l.held_over = still_sounding(w, change);
  l.first_onset = w->next < r->take->n && way_review_onset(r, w->next) < until
                      ? w->next
                      : WAY_NO_NOTE;
  l.note = l.first_onset != WAY_NO_NOTE ? l.first_onset : l.held_over;
  l.arrival = arrival(r, &l);
  if (l.note != WAY_NO_NOTE) describe(r, &l);
  if (way_chord_is_none(&way_timeline_harmony(r->timeline, l.span)->chord))
    return WAY_OK; // silence is not landed on
  count(&r->totals, &l, r->timeline->spans[l.span].target.number != 0);
  return push(w, l);
}

static WayStatus review_landings(WayReview* r, uint32_t* sounding) {
  Walk w = {.r = r, .sounding = sounding};
  WayTick end = 0;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    // Past the change that the note may belong to, and past its sound.
    const WayTick onset = way_review_onset(r, i) + r->early + 1;
    if (onset > end) end = onset;
    if (note_end(r, i) > end) end = note_end(r, i);
  }
  uint64_t left = WAY_REVIEW_CHANGES_MAX + 4 * (uint64_t)r->take->n;
  WayTick before = INT64_MIN, change = 0;
  while (change < end) {
    if (!left--) return WAY_ERR_UNSUPPORTED;
    const WayTick next = way_timeline_next_change(r->timeline, change);
    const WayTick from = change - r->early > before ? change - r->early : before;
    const WayTick window = next == INT64_MAX ? next : next - r->early;
    const WayStatus st = land(&w, change, from, window > change ? window : change);
    if (st) return st;
    before = change;
    change = next;
  }
  return WAY_OK;
}

WayStatus way_review_new(const WayTake* take, const WayTimeline* timeline,
                         WayTick origin, WayTick early, WayReview** out) {
  WayReview* const r = calloc(1, sizeof(*r));
  if (!r) return WAY_ERR_NO_MEMORY;
  *r =
      (WayReview){.take = take, .timeline = timeline, .origin = origin, .early = early};
  r->notes = calloc(take->n + 1, sizeof(*r->notes));
  uint32_t* const sounding = malloc((take->n + 1) * sizeof(*sounding));
  WayStatus st = r->notes && sounding ? WAY_OK : WAY_ERR_NO_MEMORY;
  if (!st) {
    review_notes(r);
    st = review_landings(r, sounding);
  }
  free(sounding);
  if (st) {
    way_review_free(r);
    return st;
  }
  *out = r;
  return WAY_OK;
}

void way_review_free(WayReview* review) {
  if (!review) return;
  free(review->notes);
  free(review->landings);
  free(review);
}
