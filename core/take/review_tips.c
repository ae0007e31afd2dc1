#include "take/review_tips.h"

#include "theory/chord_name.h"

/// Bars a suggestion names before it says "and more".
#define BARS_MAX 4

// The practice stages, by the labels of presets/.
static const char stage_blue[] = "2 One blue note";
static const char stage_guides[] = "4 Thirds and sevenths";
static const char stage_ahead[] = "6 Half a beat ahead";
static const char stage_touch[] = "7 Touch and return";
static const char stage_free[] = "8 Free, with a landing";

typedef struct {
  const WayReview* r;
  const WayChordLandings* chords;
  uint32_t n_chords;
} Material;

/// Bars to be named.
typedef struct {
  uint32_t n; // more than BARS_MAX: not all are kept
  WayReviewPlace bars[BARS_MAX];
} Bars;

static void add_bar(const Material* m, Bars* b, WayTick tick) {
  const WayReviewPlace p = way_review_place(m->r->timeline, tick);
  const WayReviewPlace* const last =
      b->n && b->n <= BARS_MAX ? &b->bars[b->n - 1] : NULL;
  if (b->n > BARS_MAX || (last && p.bar == last->bar && p.chorus == last->chorus))
    return;
  if (b->n < BARS_MAX) b->bars[b->n] = p;
  ++b->n;
}

/// `bars 5, 13 and chorus 2 bar 5`; `and more` if not all were kept.
static void put_bars(const Bars* b, WayOut* out) {
  const uint32_t n = b->n < BARS_MAX ? b->n : BARS_MAX;
  for (uint32_t i = 0; i < n; ++i) {
    const bool again = i && b->bars[i].chorus == b->bars[i - 1].chorus;
    if (i) way_out_str(out, ", ");
    if (!again && b->bars[i].chorus > 1) {
      way_out_str(out, "chorus ");
      way_out_int(out, b->bars[i].chorus);
      way_out_char(out, ' ');
    }
    const bool many = i + 1 < n && b->bars[i + 1].chorus == b->bars[i].chorus;
    if (!again) way_out_str(out, many ? "bars " : "bar ");
    way_out_int(out, b->bars[i].bar);
  }
  if (b->n > BARS_MAX) way_out_str(out, " and more");
}

/// Name the bars of the landings that `chosen` picks.
static void put_landings(const Material* m, WayOut* out,
                         bool (*chosen)(const WayReview*, const WayLandingSeen*,
                                        uint32_t),
                         uint32_t harmony) {
  Bars bars = {.n = 0};
  for (uint32_t i = 0; i < m->r->n_landings; ++i)
    if (chosen(m->r, &m->r->landings[i], harmony))
      add_bar(m, &bars, m->r->landings[i].change);
  put_bars(&bars, out);
}

static uint32_t harmony_of(const WayReview* r, const WayLandingSeen* l) {
  return r->timeline->spans[l->span].harmony;
}

static bool is_on(const WayReview* r, const WayLandingSeen* l, uint32_t harmony) {
  return harmony_of(r, l) == harmony;
}

static bool is_unmet(const WayReview* r, const WayLandingSeen* l, uint32_t harmony) {
  (void)harmony;
  return r->timeline->spans[l->span].target.number && !l->met;
}

static bool is_late(const WayReview* r, const WayLandingSeen* l, uint32_t harmony) {
  (void)r;
  (void)harmony;
  return l->arrival == WAY_ARRIVAL_LATE;
}

static bool is_silent(const WayReview* r, const WayLandingSeen* l, uint32_t harmony) {
  (void)r;
  (void)harmony;
  return l->arrival == WAY_ARRIVAL_NONE;
}

static const WayChord* chord_of(const Material* m, const WayChordLandings* c) {
  return &m->r->timeline->harmonies[c->harmony].chord;
}

/// The guide tone (third, else seventh) of a chord that no landing was on, or NULL.
static const WayDegree* open_guide_tone(const Material* m, const WayChordLandings* c) {
  static const int numbers[] = {3, 7};
  for (size_t i = 0; i < WAY_COUNT(numbers); ++i) {
    const WayDegree* const tone = way_chord_tone_numbered(chord_of(m, c), numbers[i]);
    if (tone && way_chord_landings_open(c, *tone)) return tone;
  }
  return NULL;
}

// Each rule writes its suggestion and tells its stage, or returns NULL.

static const char* tip_targets(const Material* m, WayOut* out) {
  const WayReviewTotals* const t = &m->r->totals;
  const uint32_t unmet = t->targets - t->targets_met;
  if (!unmet) return NULL;
  way_out_int(out, unmet);
  way_out_str(out, unmet == 1 ? " planned landing is still open: "
                              : " planned landings are still open: ");
  put_landings(m, out, is_unmet, 0);
  way_out_str(out, ". Sing the target before the chord arrives, then play it");
  return stage_free;
}

static const char* tip_guide_tone(const Material* m, WayOut* out) {
  const WayChordLandings* most = NULL;
  for (uint32_t i = 0; i < m->n_chords; ++i)
    if (open_guide_tone(m, &m->chords[i]) &&
        (!most || m->chords[i].changes > most->changes))
      most = &m->chords[i];
  if (!most) return NULL;
  const WayDegree tone = *open_guide_tone(m, most);
  char chord[WAY_SYMBOL_MAX];
  WayOut name = way_out(chord, sizeof(chord));
  way_chord_write(chord_of(m, most), &name);
  way_out_str(out, tone.number == 3 ? "The third of " : "The seventh of ");
  way_out_str(out, chord);
  way_out_str(out, " (");
  way_spelling_write(way_spelling_above(chord_of(m, most)->root, tone), out);
  way_out_str(out, ") has not been landed on yet: ");
  put_landings(m, out, is_on, most->harmony);
  return stage_guides;
}

static const char* tip_late(const Material* m, WayOut* out) {
  const uint32_t late = m->r->totals.arrivals[WAY_ARRIVAL_LATE];
  if (late < 2 || 3 * late < m->r->n_landings) return NULL;
  way_out_int(out, late);
  way_out_str(out, " of ");
  way_out_int(out, m->r->n_landings);
  way_out_str(out, " chords are met after they arrive: ");
  put_landings(m, out, is_late, 0);
  way_out_str(out, ". Try being there half a beat before");
  return stage_ahead;
}

static const char* tip_silent(const Material* m, WayOut* out) {
  const uint32_t silent = m->r->totals.arrivals[WAY_ARRIVAL_NONE];
  if (silent < 2 || 2 * silent < m->r->n_landings) return NULL;
  way_out_int(out, silent);
  way_out_str(out, " of ");
  way_out_int(out, m->r->n_landings);
  way_out_str(out, " chords arrive in a rest: ");
  put_landings(m, out, is_silent, 0);
  way_out_str(out, ". One note on each is a melody already");
  return stage_free;
}

static bool left_by_leap(const WayReviewNote* n) {
  return n->kind < WAY_EMBELLISH_COUNT && n->role.role == WAY_ROLE_CHROMATIC &&
         n->resolves_to == WAY_NO_NOTE;
}

static const char* tip_chromatic(const Material* m, WayOut* out) {
  uint32_t open = 0;
  for (uint32_t i = 0; i < m->r->take->n; ++i) open += left_by_leap(&m->r->notes[i]);
  if (open < 3 || 2 * open < m->r->totals.roles[WAY_ROLE_CHROMATIC]) return NULL;
  way_out_int(out, open);
  way_out_str(out, " chromatic notes move on without stepping into the chord: ");
  Bars bars = {.n = 0};
  for (uint32_t i = 0; i < m->r->take->n; ++i)
    if (left_by_leap(&m->r->notes[i])) add_bar(m, &bars, way_review_onset(m->r, i));
  put_bars(&bars, out);
  way_out_str(out, ". Let one of them step home");
  return stage_touch;
}

static const char* tip_plain(const Material* m, WayOut* out) {
  const WayReviewTotals* const t = &m->r->totals;
  const uint32_t over_chords = m->r->take->n - t->without_chord;
  if (t->roles[WAY_ROLE_CHROMATIC] || 4 * t->roles[WAY_ROLE_CHORD] < 3 * over_chords ||
      over_chords < 8)
    return NULL;
  way_out_str(out, "The line rests on chord tones nearly throughout. Lean on one note "
                   "from outside before it settles");
  return stage_blue;
}

WayStatus way_review_extra(const WayReview* review, WayReviewExtra* out) {
  static const char* (*const rules[])(const Material*, WayOut*) = {
      tip_targets, tip_silent, tip_guide_tone, tip_late, tip_chromatic, tip_plain};
  const WayStatus st = way_review_chords(review, &out->chords, &out->n_chords);
  if (st) return st;
  const Material m = {review, out->chords, out->n_chords};
  out->n_tips = 0;
  for (size_t i = 0; i < WAY_COUNT(rules) && out->n_tips < WAY_TIPS_MAX; ++i) {
    WayTip* const tip = &out->tips[out->n_tips];
    WayOut text = way_out(tip->text, sizeof(tip->text));
    tip->preset = rules[i](&m, &text);
    out->n_tips += tip->preset != NULL;
  }
  return WAY_OK;
}
