#include "take/review_tips.h"

#include "take/bar_list.h"
#include "theory/chord_write.h"

/// A practice stage, by its label in presets/, and the material it holds.
typedef struct {
  const char* preset;
  WayMaterial material;
} Stage;

static const Stage stage_five = {"1 Five notes all the way", WAY_MATERIAL_PENTATONIC};
static const Stage stage_blue = {"2 One blue note", WAY_MATERIAL_BLUES};
static const Stage stage_triad = {"3 The bare triad", WAY_MATERIAL_TRIAD};
static const Stage stage_guides = {"4 Thirds and sevenths", WAY_MATERIAL_SEVENTH};
static const Stage stage_ahead = {"6 Half a beat ahead", WAY_MATERIAL_SEVENTH};
static const Stage stage_touch = {"7 Touch and return", WAY_MATERIAL_CHORD_SCALE};
static const Stage stage_free = {"8 Free, with a landing", WAY_MATERIAL_SEVENTH};

typedef struct {
  const WayReview* r;
  const WayChordLandings* chords;
  uint32_t n_chords;
} Material;

/// Name the bars of the landings that `chosen` picks.
static void put_landings(const Material* m, WayOut* out,
                         bool (*chosen)(const WayReview*, const WayLandingSeen*,
                                        uint32_t),
                         uint32_t harmony) {
  WayBarList bars = {.n = 0};
  for (uint32_t i = 0; i < m->r->n_landings; ++i)
    if (chosen(m->r, &m->r->landings[i], harmony))
      way_bar_list_add(&bars, m->r->timeline, m->r->landings[i].change);
  way_bar_list_write(&bars, out);
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

static const Stage* tip_targets(const Material* m, WayOut* out) {
  const WayReviewTotals* const t = &m->r->totals;
  const uint32_t unmet = t->targets - t->targets_met;
  if (!unmet) return NULL;
  way_out_int(out, unmet);
  way_out_str(out, unmet == 1 ? " planned landing is still open: "
                              : " planned landings are still open: ");
  put_landings(m, out, is_unmet, 0);
  way_out_str(out, ". Sing the target before the chord arrives, then play it");
  return &stage_free;
}

static const Stage* tip_guide_tone(const Material* m, WayOut* out) {
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
  return &stage_guides;
}

static const Stage* tip_late(const Material* m, WayOut* out) {
  const uint32_t late = m->r->totals.arrivals[WAY_ARRIVAL_LATE];
  if (late < 2 || 3 * late < m->r->n_landings) return NULL;
  way_out_int(out, late);
  way_out_str(out, " of ");
  way_out_int(out, m->r->n_landings);
  way_out_str(out, " chords are met after they arrive: ");
  put_landings(m, out, is_late, 0);
  way_out_str(out, ". Try being there half a beat before");
  return &stage_ahead;
}

static const Stage* tip_silent(const Material* m, WayOut* out) {
  const uint32_t silent = m->r->totals.arrivals[WAY_ARRIVAL_NONE];
  if (silent < 2 || 2 * silent < m->r->n_landings) return NULL;
  way_out_int(out, silent);
  way_out_str(out, " of ");
  way_out_int(out, m->r->n_landings);
  way_out_str(out, " chords arrive in a rest: ");
  put_landings(m, out, is_silent, 0);
  way_out_str(out, ". One note on each is a melody already");
  return &stage_free;
}

static const Stage* tip_space(const Material* m, WayOut* out) {
  const WayReview* const r = m->r;
  if (!r->n_phrases || r->take->n < 24) return NULL;
  uint32_t longest = 0;
  WayTick space = 0;
  for (uint32_t k = 0; k < r->n_phrases; ++k) {
    const WayPhrase *p = &r->phrases[k], *l = &r->phrases[longest];
    space += p->space;
    if (p->end - p->start > l->end - l->start) longest = k;
  }
  const WayPhrase* const l = &r->phrases[longest];
  const WayTick all = r->phrases[r->n_phrases - 1].end - r->phrases[0].start;
  const WayTick bar = way_metre_bar(r->timeline->bars[0].metre);
  if (10 * space > all || l->end - l->start < 4 * bar) return NULL;
  WayBarList one = {.n = 0};
  way_bar_list_add(&one, r->timeline, way_review_grid(l->start - r->origin));
  way_out_str(out, "From ");
  way_bar_list_write(&one, out);
  way_out_str(out, " the line goes on for ");
  way_out_int(out, (l->end - l->start) / bar);
  way_out_str(out, " bars without a breath. Leave one bar empty and listen to the "
                   "chord change");
  return &stage_triad;
}

static const Stage* tip_return(const Material* m, WayOut* out) {
  const WayReview* const r = m->r;
  uint32_t n = 0, first = 0; // of those that are more than a single note
  for (uint32_t k = 0; k < r->n_phrases; ++k) {
    if (r->motifs[k].kind != WAY_MOTIF_NEW) return NULL;
    if (r->phrases[k].first != r->phrases[k].last && !n++) first = k;
  }
  if (n < 4) return NULL;
  WayBarList one = {.n = 0};
  way_bar_list_add(&one, r->timeline,
                   way_review_grid(r->phrases[first].start - r->origin));
  way_out_str(out, "Every phrase is a new one. Play that of ");
  way_bar_list_write(&one, out);
  way_out_str(out, " twice, and change only its last note");
  return &stage_five;
}

static bool left_by_leap(const WayReviewNote* n) {
  return n->kind < WAY_EMBELLISH_COUNT && n->role.role == WAY_ROLE_CHROMATIC &&
         n->resolves_to == WAY_NO_NOTE;
}

static const Stage* tip_chromatic(const Material* m, WayOut* out) {
  WayBarList bars = {.n = 0};
  uint32_t open = 0;
  for (uint32_t i = 0; i < m->r->take->n; ++i) {
    if (!left_by_leap(&m->r->notes[i])) continue;
    ++open;
    way_bar_list_add(&bars, m->r->timeline, way_review_grid(way_review_onset(m->r, i)));
  }
  if (open < 3 || 2 * open < m->r->totals.roles[WAY_ROLE_CHROMATIC]) return NULL;
  way_out_int(out, open);
  way_out_str(out, " chromatic notes move on without stepping into the chord: ");
  way_bar_list_write(&bars, out);
  way_out_str(out, ". Let one of them step home");
  return &stage_touch;
}

static const Stage* tip_plain(const Material* m, WayOut* out) {
  const WayReviewTotals* const t = &m->r->totals;
  const uint32_t over_chords = m->r->take->n - t->without_chord;
  if (t->roles[WAY_ROLE_CHROMATIC] || 4 * t->roles[WAY_ROLE_CHORD] < 3 * over_chords ||
      over_chords < 8)
    return NULL;
  way_out_str(out, "The line rests on chord tones nearly throughout. Lean on one note "
                   "from outside before it settles");
  return &stage_blue;
}

WayStatus way_review_extra(const WayReview* review, WayReviewExtra* out) {
  static const Stage* (*const rules[])(const Material*, WayOut*) = {
      tip_silent, tip_space,     tip_targets, tip_guide_tone,
      tip_late,   tip_chromatic, tip_return,  tip_plain};
  const WayStatus st = way_review_chords(review, &out->chords, &out->n_chords);
  if (st) return st;
  const Material m = {review, out->chords, out->n_chords};
  out->n_tips = 0;
  for (size_t i = 0; i < WAY_COUNT(rules) && out->n_tips < WAY_TIPS_MAX; ++i) {
    WayTip* const tip = &out->tips[out->n_tips];
    WayOut text = way_out(tip->text, sizeof(tip->text));
    const Stage* const stage = rules[i](&m, &text);
    if (!stage) continue;
    tip->preset = stage->preset;
    tip->material = stage->material;
    ++out->n_tips;
  }
  return WAY_OK;
}
