#include "take/review.h"

#include "take/big.h"
#include "take/review_line.h"

#include <math.h>
#include <stdlib.h>

/// More notes that begin at once are not looked through.
#define CHORD_NOTES_MAX 128u

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
  const WayTick next = way_timeline_next_change(t, onset);
  if (next == INT64_MAX || next - r->early > onset)
    *until = next == INT64_MAX ? next : next - r->early;
  return way_timeline_span_for(t, onset, r->early);
}

/// A harmony with what its notes ask of it, each answer worked out once.
typedef struct {
  uint32_t index; // of the harmony
  const WayHarmony* harmony;
  WayPcSet basic;
  WayPcSet spelled; // pitch classes whose name is known
  WaySpelling names[12];
} Over;

static void review_note(WayReview* r, uint32_t i, Over* over) {
  const WayPc pc = way_pc(r->take->notes[i].pitch);
  if (!way_pcs_has(over->spelled, pc)) {
    over->spelled |= WAY_PC_BIT(pc);
    over->names[pc] = way_harmony_spell(over->harmony, pc);
  }
  WayReviewNote* const note = &r->notes[i];
  note->harmony = over->index;
  note->role = way_harmony_role(over->harmony, pc);
  note->name = over->names[pc];
  note->basic = way_pcs_has(over->basic, pc);
  WayReviewTotals* const t = &r->totals;
  ++t->roles[note->role.role];
  t->basic += note->basic;
  const WayDegree degree = note->role.degree;
  if (way_chord_is_none(&over->harmony->chord))
    ++t->without_chord;
  else
    ++t->degrees[degree.number][degree.alter + WAY_ALTER_MAX];
}

static void review_notes(WayReview* r) {
  const WayTimeline* const t = r->timeline;
  const WayChord silence = way_chord_none();
  const WayHarmony before = way_harmony(&silence, t->key, &t->loop_pcs);
  Over over = {.index = WAY_NO_HARMONY, .harmony = &before};
  WayTick until = INT64_MIN;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayTick onset = way_review_onset(r, i);
    if (onset >= until) {
      const uint32_t span = span_of(r, onset, &until);
      const bool begun = span != WAY_NO_HARMONY;
      over.index = begun ? t->spans[span].harmony : span;
      over.harmony = begun ? &t->harmonies[over.index] : &before;
      over.basic = way_chord_basic_pcs(&over.harmony->chord);
      over.spelled = 0;
    }
    review_note(r, i, &over);
  }
}

WayTick way_review_grid(WayTick tick) {
  enum { QUARTER = WAY_TICKS_PER_QUARTER, PART = QUARTER / 24 };
  // In twelfths of a quarter note; the places change half way between.
  static const int16_t places[] = {0, 3, 4, 6, 8, 9, 12};
  const WayTick start = (tick < 0 ? tick - QUARTER + 1 : tick) / QUARTER * QUARTER;
  const int in = (int)(tick - start);
  const int place = (in > 3 * PART) + (in > 7 * PART) + (in > 10 * PART) +
                    (in > 14 * PART) + (in > 17 * PART) + (in > 21 * PART);
  return start + (WayTick)places[place] * 2 * PART;
}

static void review_timing(WayReview* r) {
  double sum = 0, squares = 0;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayTick onset = way_review_onset(r, i);
    const double behind = (double)(onset - way_review_grid(onset));
    sum += behind;
    squares += behind * behind;
  }
  const double n = r->take->n ? r->take->n : 1;
  const double variance = squares / n - sum / n * (sum / n);
  r->totals.timing_mean = sum / n;
  r->totals.timing_spread = variance > 0 ? sqrt(variance) : 0;
}

// ---- Landings.

static WayTick note_end(const WayReview* r, uint32_t i) {
  return way_review_onset(r, i) + r->take->notes[i].length;
}

static WayArrival arrival(const WayReview* r, const WayLandingSeen* l) {
  if (l->first_onset != WAY_NO_NOTE) {
    const WayTick lag = way_review_onset(r, l->first_onset) - l->change;
    if (lag < -WAY_REVIEW_AT_ONCE) return WAY_ARRIVAL_EARLY;
    if (lag <= WAY_REVIEW_AT_ONCE) return WAY_ARRIVAL_ON_TIME;
    if (lag <= way_review_beat(r->timeline) + WAY_REVIEW_AT_ONCE)
      return WAY_ARRIVAL_LATE;
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

/// Whether the note held over rather belongs to the chord it is held into.
static bool is_hair_early(const WayReview* r, const WayLandingSeen* l) {
  return l->held_over != WAY_NO_NOTE &&
         l->change - way_review_onset(r, l->held_over) <= WAY_REVIEW_AT_ONCE &&
         note_end(r, l->held_over) - l->change > WAY_REVIEW_AT_ONCE;
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

/// Room for one more element of `size` bytes; room doubles at powers of two.
static void* grown(void* list, uint32_t n, size_t size) {
  return n & (n - 1) ? list : way_big_resize(list, (n ? 2 * (size_t)n : 1) * size);
}

static WayStatus push_landing(WayReview* r, WayLandingSeen landing) {
  WayLandingSeen* const list = grown(r->landings, r->n_landings, sizeof(*list));
  if (!list) return WAY_ERR_NO_MEMORY;
  r->landings = list;
  r->landings[r->n_landings++] = landing;
  return WAY_OK;
}

/// How the landing note is reached: from the last note that did not begin with it.
static void approach(const WayReview* r, WayLandingSeen* l) {
  const WayNote* const note = &r->take->notes[l->note];
  uint32_t i = l->note;
  for (unsigned left = CHORD_NOTES_MAX;
       left && i && note->start - r->take->notes[i].start <= WAY_REVIEW_AT_ONCE; --left)
    --i;
  l->approached = note->start - r->take->notes[i].start > WAY_REVIEW_AT_ONCE;
  if (l->approached) l->approach = (int16_t)(note->pitch - r->take->notes[i].pitch);
}

/// The landing at a change, where notes from `from` on belong to the new chord, and
/// from `until` on to the one after it.
static WayStatus land(WayReview* r, WayWalk* w, WayTick change, WayTick from,
                      WayTick until) {
  way_walk_pass(w, from == INT64_MIN ? from : from + r->origin);
  WayLandingSeen l = {.change = change,
                      .span = way_timeline_at(r->timeline, change).span};
  l.held_over = way_walk_sounding(w, change + r->origin);
  l.first_onset =
      way_walk_next_before(w, until == INT64_MAX ? until : until + r->origin);
  l.note = l.first_onset != WAY_NO_NOTE ? l.first_onset : l.held_over;
  l.arrival = arrival(r, &l);
  if (way_chord_is_none(&way_timeline_harmony(r->timeline, l.span)->chord))
    return WAY_OK; // silence is not landed on
  if (l.note != WAY_NO_NOTE) {
    describe(r, &l);
    approach(r, &l);
  }
  r->totals.hair_early += is_hair_early(r, &l);
  count(&r->totals, &l, r->timeline->spans[l.span].target.number != 0);
  return push_landing(r, l);
}

/// Past the last sound but for a legato tail, and past the last change that a note may
/// belong to.
static WayTick take_end(const WayReview* r) {
  WayTick end = 0;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayTick reach = way_review_onset(r, i) + r->early + 1;
    if (reach > end) end = reach;
    if (note_end(r, i) - WAY_REVIEW_AT_ONCE > end)
      end = note_end(r, i) - WAY_REVIEW_AT_ONCE;
  }
  return end;
}

static uint64_t most_changes(const WayReview* r) {
  return WAY_REVIEW_CHANGES_MAX + 4 * (uint64_t)r->take->n;
}

static WayStatus review_landings(WayReview* r) {
  WayWalk w;
  WayStatus st = way_walk_new(r->take, &w);
  if (st) return st;
  const WayTick end = take_end(r);
  uint64_t left = most_changes(r);
  WayTick before = INT64_MIN, change = 0;
  while (!st && change < end) {
    const WayTick next = way_timeline_next_change(r->timeline, change);
    const WayTick from = change - r->early > before ? change - r->early : before;
    const WayTick window = next == INT64_MAX ? next : next - r->early;
    st = left-- ? land(r, &w, change, from, window > change ? window : change)
                : WAY_ERR_UNSUPPORTED;
    before = change;
    change = next;
  }
  way_walk_free(&w);
  return st;
}

// ---- Form.

static WayStatus join(WayReview* r, WayWalk* w, WayTick tick, bool top) {
  WayFormJoint j = {
      .tick = tick, .top = top, .before = WAY_NO_NOTE, .after = WAY_NO_NOTE};
  way_walk_pass(w, tick - r->early + r->origin);
  if (w->next) j.before = w->next - 1;
  const uint32_t held = way_walk_sounding(w, tick + r->origin);
  const uint32_t first = way_walk_next_before(
      w, tick + way_review_beat(r->timeline) + WAY_REVIEW_AT_ONCE + 1 + r->origin);
  j.at = first != WAY_NO_NOTE ? first : held;
  const uint32_t after = first != WAY_NO_NOTE ? first + 1 : w->next;
  if (after < r->take->n) j.after = after;
  WayFormJoint* const list = grown(r->joints, r->n_joints, sizeof(*list));
  if (!list) return WAY_ERR_NO_MEMORY;
  r->joints = list;
  r->joints[r->n_joints++] = j;
  return WAY_OK;
}

static WayStatus review_form(WayReview* r) {
  const WayTimeline* const t = r->timeline;
  WayWalk w;
  WayStatus st = way_walk_new(r->take, &w);
  if (st) return st;
  const WayTick end =
      r->take->n ? way_review_onset(r, r->take->n - 1) + r->early + 1 : 0;
  uint64_t left = most_changes(r);
  for (WayTick top = 0; !st && top < end; top += t->length)
    for (uint32_t s = 0; !st && s < t->n_sections; ++s) {
      const WayTick tick = top + t->bars[t->sections[s].first_bar].start;
      if (tick >= end) break;
      st = left-- ? join(r, &w, tick, tick == top) : WAY_ERR_UNSUPPORTED;
    }
  way_walk_free(&w);
  return st;
}

// ---- Phrases.

static WayStatus review_phrases(WayReview* r) {
  const WayTick bar = way_metre_bar(r->timeline->bars[0].metre);
  const WayStatus st = way_phrases(r->take, bar, &r->phrases, &r->n_phrases);
  return st ? st : way_motifs(r->take, bar, r->phrases, r->n_phrases, &r->motifs);
}

static bool is_planned(const WayReview* r, uint32_t landing) {
  return r->timeline->spans[r->landings[landing].span].target.number != 0;
}

uint32_t way_review_landing_from(const WayReview* r, WayTick tick) {
  uint32_t low = 0, high = r->n_landings;
  while (low < high) {
    const uint32_t mid = low + (high - low) / 2;
    if (r->landings[mid].change < tick)
      low = mid + 1;
    else
      high = mid;
  }
  return low;
}

uint32_t way_review_phrase_landing(const WayReview* r, uint32_t phrase) {
  const WayPhrase* const p = &r->phrases[phrase];
  const uint32_t first =
      way_review_landing_from(r, p->start - r->origin - WAY_REVIEW_AT_ONCE);
  const uint32_t end = way_review_landing_from(r, p->end - r->origin);
  for (uint32_t i = end; i > first; --i)
    if (is_planned(r, i - 1)) return i - 1;
  return end > first ? end - 1 : WAY_NO_LANDING;
}

WayStatus way_review_new(const WayTake* take, const WayTimeline* timeline,
                         WayTick origin, WayTick early, WayReview** out) {
  WayReview* const r = calloc(1, sizeof(*r));
  if (!r) return WAY_ERR_NO_MEMORY;
  *r =
      (WayReview){.take = take, .timeline = timeline, .origin = origin, .early = early};
  r->notes = way_big_resize(NULL, (take->n + (size_t)1) * sizeof(*r->notes));
  WayStatus st = r->notes ? WAY_OK : WAY_ERR_NO_MEMORY;
  if (!st) {
    review_notes(r);
    review_timing(r);
    st = review_landings(r);
  }
  if (!st) st = review_form(r);
  if (!st) st = review_phrases(r);
  if (!st) st = way_review_line(r);
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
  free(review->joints);
  free(review->phrases);
  free(review->motifs);
  free(review);
}
