#include "alloc.h"
#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"
#include "rng.h"
#include "take/fit.h"
#include "take/review.h"
#include "take/smf_read.h"
#include "take/smf_write.h"
#include "theory/embellish.h"

#include <stdlib.h>

/// A file of one track, and what a fit needs beside it.
typedef struct {
  WaySmf* made;
  uint8_t* bytes;
  size_t size;
  WaySmf* smf; // read back, so that events have places
  WayTimeline* chart;
  WayFitChoice choice;
  WayFit* fit;
} Case;

static Case new_case(const char* text) {
  Case c = {.made = way_smf_new(1, 96), .choice = way_fit_choice_default()};
  assert_non_null(way_smf_add_track(c.made));
  WayChart* const chart = chart_of(text);
  assert_int_equal(way_chart_unroll(chart, &c.chart), WAY_OK);
  way_chart_free(chart);
  c.choice.chart = c.chart;
  return c;
}

static void add(Case* c, uint64_t tick, uint8_t status, uint8_t a, uint8_t b) {
  assert_int_equal(way_smf_add(c->made, 0, tick, (const uint8_t[]){status, a, b}, 3),
                   WAY_OK);
}

/// A note on a channel (0..15), placed in eighths.
static void note(Case* c, uint8_t channel, unsigned from, unsigned to, uint8_t key) {
  add(c, from * 48u, (uint8_t)(0x90 | channel), key, 80);
  add(c, to * 48u, (uint8_t)(0x80 | channel), key, 0);
}

/// A melody of eighth notes; 0 is a rest.
static void melody(Case* c, const char* keys) {
  for (unsigned i = 0; *keys; ++i) {
    char* end;
    const long key = strtol(keys, &end, 10);
    if (key) note(c, 0, i, i + 1, (uint8_t)key);
    keys = end;
  }
}

static void fit(Case* c) {
  free(c->bytes);
  way_smf_free(c->smf);
  way_fit_free(c->fit);
  assert_int_equal(way_smf_sort(c->made), WAY_OK);
  assert_int_equal(way_smf_write(c->made, &c->bytes, &c->size), WAY_OK);
  assert_int_equal(way_smf_read(c->bytes, c->size, &c->smf, NULL), WAY_OK);
  WayError e = {.status = WAY_OK};
  if (way_fit_new(c->bytes, c->smf, &c->choice, &c->fit, &e)) fail_msg("%s", e.message);
}

static void check(const Case* c, const char* keys) {
  for (uint32_t i = 0; i < c->fit->n; ++i) {
    char* end;
    const long key = strtol(keys, &end, 10);
    if (c->fit->notes[i].key != key)
      fail_msg("note %u: %u, expected %ld", i, c->fit->notes[i].key, key);
    keys = end;
  }
  assert_string_equal(keys, "");
}

static void check_why(const Case* c, uint32_t i, WayFitWhy why) {
  assert_string_equal(way_fit_why_name((WayFitWhy)c->fit->notes[i].why),
                      way_fit_why_name(why));
}

static void end_case(Case* c) {
  way_fit_free(c->fit);
  way_smf_free(c->smf);
  way_smf_free(c->made);
  way_timeline_free(c->chart);
  free(c->bytes);
}

static void test_notes_go_to_the_chord_scale(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C | F |\n");
  melody(&c, "60 62 63 67 66 64 64 61 65");
  fit(&c);
  check(&c, "60 62 64 67 65 64 64 60 65");
  check_why(&c, 0, WAY_FIT_IN);
  check_why(&c, 2, WAY_FIT_MATERIAL);
  assert_int_equal(c.fit->notes[2].n_bytes, 2);
  end_case(&c);
}

static void test_the_shape_moves_others_along(void** state) {
  (void)state;
  // 63 wants to 64, where the next note stands: that one moves on.
  Case c = new_case("key: C\n| C |\n");
  c.choice.snap = WAY_SNAP_UP;
  melody(&c, "62 63 64 64 62");
  fit(&c);
  check(&c, "62 64 65 65 62");
  check_why(&c, 2, WAY_FIT_SHAPE);
  end_case(&c);
}

static void test_targets_are_fixed_points(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C | F>3 |\n");
  melody(&c, "60 0 0 0 0 0 0 64 67");
  fit(&c);
  check(&c, "60 64 69");
  check_why(&c, 2, WAY_FIT_TARGET);
  c.choice.max_distance = 1; // out of reach
  fit(&c);
  check(&c, "60 64 67");
  check_why(&c, 2, WAY_FIT_LEFT_FAR);
  end_case(&c);
}

static void test_scope(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C | C |\n");
  melody(&c, "61 0 61 0 66 0 0 66 66");
  c.choice.scope = WAY_SCOPE_STRONG;
  fit(&c); // the repeated notes move with the strong ones
  check(&c, "60 60 65 65 65");
  c.choice.scope = WAY_SCOPE_LANDINGS;
  fit(&c); // one chord, one landing
  check(&c, "60 60 66 66 66");
  check_why(&c, 2, WAY_FIT_UNASKED);
  end_case(&c);
}

static void test_embellishing_tones_stay(void** state) {
  (void)state;
  // C D E, C D C, and a leap to D# before E, over a triad.
  Case c = new_case("key: C\n| C |\n");
  c.choice.material = WAY_MATERIAL_TRIAD;
  melody(&c, "60 62 64 60 62 60 55 63 64");
  fit(&c);
  check_why(&c, 1, WAY_FIT_MATERIAL);
  c.choice.keep = WAY_FIT_KEEP_PASSING;
  fit(&c);
  check_why(&c, 1, WAY_FIT_KEPT);
  assert_int_equal(c.fit->notes[1].kind, WAY_EMBELLISH_PASSING);
  assert_int_not_equal(c.fit->notes[4].why, WAY_FIT_KEPT);
  c.choice.keep = WAY_FIT_KEEP_PASSING | WAY_FIT_KEEP_NEIGHBOUR | WAY_FIT_KEEP_APPROACH;
  fit(&c);
  check(&c, "60 62 64 60 62 60 55 63 64");
  check_why(&c, 4, WAY_FIT_KEPT);
  check_why(&c, 7, WAY_FIT_KEPT);
  end_case(&c);
}

static void test_range(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  c.choice.low = 60;
  c.choice.high = 72;
  melody(&c, "72 74 55 60");
  fit(&c);
  check(&c, "71 72 60 62");
  check_why(&c, 1, WAY_FIT_RANGE);
  end_case(&c);
}

static void test_only_the_top_line_moves(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  note(&c, 0, 0, 4, 61); // under it, and outside too
  note(&c, 0, 0, 2, 66);
  note(&c, 0, 1, 2, 58); // begins under it
  note(&c, 0, 2, 4, 68);
  fit(&c);
  check(&c, "65 67");
  assert_int_equal(c.fit->below, 2);
  end_case(&c);
}

static void test_lines_by_channel(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  note(&c, 0, 0, 2, 66);
  note(&c, 1, 0, 2, 54);
  note(&c, 9, 0, 2, 42); // drums are no line
  c.choice.by_channel = true;
  fit(&c);
  check(&c, "53 65");
  c.choice.by_channel = false;
  fit(&c);
  check(&c, "65");
  end_case(&c);
}

static void test_keys_that_sound_are_not_struck_again(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  note(&c, 0, 0, 4, 65); // a drone below, on the key that would be nearest
  note(&c, 0, 1, 2, 66);
  note(&c, 0, 2, 3, 78);
  c.choice.max_distance = 1;
  fit(&c);
  check(&c, "65 67 79"); // as near as 77, and the interval is kept
  end_case(&c);
}

static void test_long_notes_under_the_line_stay(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  note(&c, 0, 0, 8, 61);
  note(&c, 0, 1, 2, 62);
  note(&c, 0, 2, 3, 64);
  fit(&c);
  check(&c, "61 62 64");
  check_why(&c, 0, WAY_FIT_LEFT_HELD);
  end_case(&c);
}

static void test_bends_count(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  add(&c, 0, 0xE0, 0, 0x60); // one semitone up
  note(&c, 0, 0, 2, 60);     // sounds as C sharp
  fit(&c);
  assert_int_equal(c.fit->notes[0].from, 61);
  assert_int_equal(c.fit->notes[0].to, 60);
  check(&c, "59");
  end_case(&c);
}

/// A file with running status, key pressure, SysEx, velocity 0, an orphan and padding.
static const uint8_t odd[] = {
    'M',  'T',  'h',  'd',  0,    0,    0, 6, 0,  1,    0,    1,  0,
    96,   'M',  'T',  'r',  'k',  0,    0, 0, 44, 0x00, 0x90, 61, 80, // 22: C sharp
    0x30, 0xA0, 61,   10,               // 26: its pressure
    0x00, 0x90, 61,   0,                // 30: its end
    0x00, 64,   80,                     // 34: E, running status
    0x10, 0xF0, 0x03, 0x43, 61,   0xF7, // 37
    0x20, 0x90, 64,   0,                // 43
    0x00, 66,   70,                     // 47: F sharp
    0x20, 66,   0,                      // 50
    0x00, 0x80, 65,   0,                // 53: nothing of that name sounds
    0x00, 0x80, 61,   0,                // 57
    0x00, 0xFF, 0x2F, 0x01, 0x00,       // 61
    0,    0};

static void test_bytes_are_kept(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  assert_int_equal(way_smf_read(odd, sizeof(odd), &c.smf, NULL), WAY_OK);
  assert_int_equal(way_fit_new(odd, c.smf, &c.choice, &c.fit, NULL), WAY_OK);
  check(&c, "60 64 65");
  uint8_t after[sizeof(odd)];
  memcpy(after, odd, sizeof(odd));
  way_fit_apply(c.fit, after);
  static const struct {
    size_t at;
    uint8_t key;
  } moved[] = {{24, 60}, {28, 60}, {32, 60}, {48, 65}, {51, 65}};
  for (size_t i = 0, m = 0; i < sizeof(odd); ++i) {
    const bool moves = m < WAY_COUNT(moved) && moved[m].at == i;
    if (after[i] != (moves ? moved[m].key : odd[i]))
      fail_msg("byte %zu is %u", i, after[i]);
    m += moves;
  }
  assert_int_equal(c.fit->n_bytes, WAY_COUNT(moved));
  end_case(&c);
}

static void test_before_the_chart_nothing_moves(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  melody(&c, "61 0 0 0 0 0 0 0 61");
  c.choice.origin = 4 * WAY_TICKS_PER_QUARTER;
  fit(&c);
  check(&c, "61 61"); // a repeated note stays repeated
  check_why(&c, 0, WAY_FIT_UNASKED);
  check_why(&c, 1, WAY_FIT_LEFT_SHAPE);
  end_case(&c);
}

static void test_what_cannot_be_fitted(void** state) {
  (void)state;
  Case c = new_case("| C |\n");
  add(&c, 0, 0xB0, 7, 100);
  assert_int_equal(way_smf_write(c.made, &c.bytes, &c.size), WAY_OK);
  assert_int_equal(way_smf_read(c.bytes, c.size, &c.smf, NULL), WAY_OK);
  WayError e;
  assert_int_equal(way_fit_new(c.bytes, c.smf, &c.choice, &c.fit, &e), WAY_ERR_RANGE);
  assert_string_equal(e.message, "no notes in the file");
  assert_null(c.fit);
  end_case(&c);
}

static void test_memory_running_out(void** state) {
  (void)state;
  Case c = new_case("key: C\n| C |\n");
  melody(&c, "60 61 66");
  fit(&c);
  for (long n = 1; n < 100; ++n) {
    WayFit* out = NULL;
    alloc_fail_at(n);
    const WayStatus st = way_fit_new(c.bytes, c.smf, &c.choice, &out, NULL);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    way_fit_free(out);
    if (!failed) break;
  }
  end_case(&c);
}

// ---- The rule of docs/teacher.md once more, tried out way by way on small melodies.

#define EIGHTH (WAY_TICKS_PER_QUARTER / 2)
#define MODEL_NOTES 5u

/// One note as the rule sees it.
typedef struct {
  int start, length; ///< In eighths
  int pitch;
  bool target, asked, kept;
  bool may[128];
  uint64_t weight, price;
} ModelNote;

typedef struct {
  unsigned n;
  ModelNote notes[MODEL_NOTES];
  int way[MODEL_NOTES];
  bool found;
  uint64_t best[3]; ///< Left outside, moved, bent
} Model;

/// The span a note belongs to, in 4/4 within one chorus.
static uint32_t model_span(const WayTimeline* t, WayTick onset, WayTick early) {
  uint32_t span = 0;
  while (span + 1 < t->n_spans && t->spans[span + 1].start - early <= onset) ++span;
  return span;
}

/// Whether no earlier note belongs to the span, and the note comes at most a beat late.
static bool model_opens(const Model* m, unsigned k, const WayTimeline* t,
                        WayTick early) {
  const WayTick onset = m->notes[k].start * EIGHTH;
  const uint32_t span = model_span(t, onset, early);
  const bool first = !k || model_span(t, m->notes[k - 1].start * EIGHTH, early) != span;
  return first && !way_chord_is_none(&way_timeline_harmony(t, span)->chord) &&
         onset <= t->spans[span].start + 2 * EIGHTH;
}

static void model_note(Model* m, unsigned k, const WayFitChoice* c) {
  ModelNote* const note = &m->notes[k];
  const WayTimeline* const t = c->chart;
  const uint32_t span = model_span(t, note->start * EIGHTH, c->early);
  const WayHarmony* const h = way_timeline_harmony(t, span);
  const bool opens = model_opens(m, k, t, c->early);
  const int place = note->start % 8; // strength: 4 first, 3 middle, 2 beats, 1 between
  const int strength = !place ? 4 : place == 4 ? 3 : place % 2 ? 1 : 2;
  const WayDegree target = opens ? t->spans[span].target : (WayDegree){0, 0};
  note->target = target.number != 0;
  const int length = note->length < 8 ? note->length : 8;
  note->weight = (unsigned)(4 + 2 * strength + length + (opens ? 8 : 0));
  note->price = note->weight + (note->target ? 1u << 20 : 0);
  const bool in_scope[] = {[WAY_SCOPE_EVERY] = true,
                           [WAY_SCOPE_BEATS] = strength >= 2,
                           [WAY_SCOPE_STRONG] = strength >= 3,
                           [WAY_SCOPE_LANDINGS] = opens};
  note->asked = note->target || in_scope[c->scope];
  for (int p = 0; p < 128; ++p) {
    const int by = p - note->pitch;
    const bool in = note->target ? way_pc(p) == way_pc(way_spelling_pc(h->chord.root) +
                                                       way_degree_semitones(target))
                                 : way_pcs_has(h->material[c->material], way_pc(p));
    note->may[p] = in && p >= c->low && p <= c->high && abs(by) <= c->max_distance &&
                   !(by < 0 && c->snap == WAY_SNAP_UP) &&
                   !(by > 0 && c->snap == WAY_SNAP_DOWN);
  }
  if (!note->asked && note->pitch >= c->low && note->pitch <= c->high)
    note->may[note->pitch] = true;
}

static bool model_keeps(unsigned keep, uint8_t kind) {
  switch (kind) {
  case WAY_EMBELLISH_PASSING: return keep & WAY_FIT_KEEP_PASSING;
  case WAY_EMBELLISH_CHROMATIC_APPROACH: return keep & WAY_FIT_KEEP_APPROACH;
  case WAY_EMBELLISH_UPPER_NEIGHBOUR:
  case WAY_EMBELLISH_LOWER_NEIGHBOUR:
  case WAY_EMBELLISH_DOUBLE_NEIGHBOUR:
  case WAY_EMBELLISH_INCOMPLETE_NEIGHBOUR: return keep & WAY_FIT_KEEP_NEIGHBOUR;
  default: return false;
  }
}

static void model_stay(ModelNote* note) {
  const bool stays = note->may[note->pitch];
  memset(note->may, 0, sizeof(note->may));
  note->may[note->pitch] = stays;
}

/// Tones outside that the review names and sees resolve stay, as does what they resolve
/// to.
static void model_keep(Model* m, const Case* c) {
  WayTake* take = NULL;
  WayReview* review = NULL;
  assert_int_equal(way_take_new(c->smf, &c->choice.melody, &take, NULL), WAY_OK);
  assert_int_equal(way_review_new(take, c->chart, 0, c->choice.early, &review), WAY_OK);
  bool outside[MODEL_NOTES];
  for (unsigned k = 0; k < m->n; ++k) {
    ModelNote* const note = &m->notes[k];
    outside[k] = !note->target && (!note->asked || !note->may[note->pitch]) &&
                 note->pitch >= c->choice.low && note->pitch <= c->choice.high;
    if (!note->asked) { // it may stay anyway: is it outside the material?
      const WayHarmony* const h = way_timeline_harmony(
          c->chart, model_span(c->chart, note->start * EIGHTH, c->choice.early));
      outside[k] &= !way_pcs_has(h->material[c->choice.material], way_pc(note->pitch));
    }
  }
  for (unsigned k = 0; k < m->n; ++k) {
    const uint32_t to = review->notes[k].resolves_to;
    if (!outside[k] || to == WAY_NO_NOTE ||
        !model_keeps(c->choice.keep, review->notes[k].kind) ||
        (to != k && !m->notes[to].may[m->notes[to].pitch]))
      continue;
    m->notes[k].may[m->notes[k].pitch] = true;
    model_stay(&m->notes[k]);
    model_stay(&m->notes[to]);
  }
  way_review_free(review);
  way_take_free(take);
}

static int sign(int x) { return (x > 0) - (x < 0); }

static void model_cost(const Model* m, const int* way, uint64_t cost[3]) {
  memset(cost, 0, 3 * sizeof(*cost));
  for (unsigned k = 0; k < m->n; ++k) {
    const ModelNote* const note = &m->notes[k];
    if (!note->may[way[k]]) cost[0] += note->price;
    cost[1] += (uint64_t)abs(way[k] - note->pitch) * note->weight;
    if (k) cost[2] += (uint64_t)abs(way[k] - way[k - 1] - note->pitch + note[-1].pitch);
  }
}

static void model_try(Model* m, unsigned k) {
  if (k == m->n) {
    uint64_t cost[3];
    model_cost(m, m->way, cost);
    int order = 0;
    for (int i = 0; i < 3 && !order; ++i)
      order = cost[i] < m->best[i] ? -1 : cost[i] > m->best[i];
    if (!m->found || order < 0) memcpy(m->best, cost, sizeof(cost));
    m->found = true;
    return;
  }
  const ModelNote* const note = &m->notes[k];
  for (int p = 0; p < 128; ++p) {
    if (p != note->pitch && !note->may[p]) continue;
    if (k && sign(p - m->way[k - 1]) != sign(note->pitch - note[-1].pitch)) continue;
    m->way[k] = p;
    model_try(m, k + 1);
  }
}

static WayFitChoice random_choice(uint32_t* rng, const WayTimeline* chart) {
  WayFitChoice c = way_fit_choice_default();
  c.chart = chart;
  c.material = (WayMaterial)rng_below(rng, WAY_MATERIAL_COUNT);
  c.scope = (WayScope)rng_below(rng, WAY_SCOPE_COUNT);
  c.snap = (WaySnap)rng_below(rng, WAY_SNAP_COUNT);
  c.keep = rng_below(rng, 8);
  c.max_distance = (uint8_t)rng_below(rng, 7);
  c.early = rng_below(rng, 2) ? EIGHTH : 0;
  if (rng_below(rng, 2)) {
    c.low = (uint8_t)(54 + rng_below(rng, 10));
    c.high = (uint8_t)(c.low + 3 + rng_below(rng, 12));
  }
  return c;
}

static const char* const model_charts[] = {
    "key: C\n| C>3 | Am F>R | Dm7>b3 G7 | C>5 |\n",
    "key: C minor\n| Cm7>b7 Fm7 | N.C. | Bb7>9 / / Eb>3 | G7b9>3 |\n",
    "| D F#m>5 G A>R | Em7b5>b5 | A7alt | Dmaj7>7 |\n",
};

/// A melody of a few notes, in the model and in the file.
static Model random_model(uint32_t* rng, Case* c) {
  Model m = {.n = 1 + rng_below(rng, MODEL_NOTES)};
  int at = (int)rng_below(rng, 12), pitch = 58 + (int)rng_below(rng, 10);
  for (unsigned k = 0; k < m.n; ++k) {
    const int length = 1 + (int)rng_below(rng, 3);
    m.notes[k] = (ModelNote){.start = at, .length = length, .pitch = pitch};
    note(c, 0, (unsigned)at, (unsigned)(at + length), (uint8_t)pitch);
    at += length + (rng_below(rng, 4) ? 0 : 1);
    pitch += (int)rng_below(rng, 7) - 3;
  }
  return m;
}

static void test_no_way_by_the_rule_is_better(void** state) {
  (void)state;
  unsigned moved = 0, met = 0, kept = 0, left = 0;
  for (uint32_t seed = 1; seed <= 10000; ++seed) { // the seed alone replays a failure
    uint32_t rng = seed * 2654435761u;
    Case c = new_case(model_charts[rng_below(&rng, WAY_COUNT(model_charts))]);
    c.choice = random_choice(&rng, c.chart);
    Model m = random_model(&rng, &c);
    fit(&c);
    for (unsigned k = 0; k < m.n; ++k) model_note(&m, k, &c.choice);
    model_keep(&m, &c);
    model_try(&m, 0);
    int way[MODEL_NOTES];
    uint64_t cost[3];
    assert_int_equal(c.fit->n, m.n);
    for (unsigned k = 0; k < m.n; ++k) {
      way[k] = c.fit->notes[k].to;
      if (way[k] != m.notes[k].pitch && !m.notes[k].may[way[k]])
        fail_msg("seed %u: note %u went to %d", seed, k, way[k]);
      if (k &&
          sign(way[k] - way[k - 1]) != sign(m.notes[k].pitch - m.notes[k - 1].pitch))
        fail_msg("seed %u: the shape changes at note %u", seed, k);
      moved += way[k] != m.notes[k].pitch;
      met += m.notes[k].target && m.notes[k].may[way[k]];
      kept += c.fit->notes[k].why == WAY_FIT_KEPT;
      left += c.fit->notes[k].why >= WAY_FIT_LEFT_FAR;
    }
    model_cost(&m, way, cost);
    for (int i = 0; i < 3; ++i)
      if (cost[i] != m.best[i])
        fail_msg("seed %u: costs %lu %lu %lu, but there is %lu %lu %lu", seed,
                 (unsigned long)cost[0], (unsigned long)cost[1], (unsigned long)cost[2],
                 (unsigned long)m.best[0], (unsigned long)m.best[1],
                 (unsigned long)m.best[2]);
    end_case(&c);
  }
  // Something of everything has been seen.
  if (moved < 1000 || met < 200 || kept < 50 || left < 100)
    fail_msg("%u moved, %u targets met, %u kept, %u left", moved, met, kept, left);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_notes_go_to_the_chord_scale),
      cmocka_unit_test(test_the_shape_moves_others_along),
      cmocka_unit_test(test_targets_are_fixed_points),
      cmocka_unit_test(test_scope),
      cmocka_unit_test(test_embellishing_tones_stay),
      cmocka_unit_test(test_range),
      cmocka_unit_test(test_only_the_top_line_moves),
      cmocka_unit_test(test_lines_by_channel),
      cmocka_unit_test(test_keys_that_sound_are_not_struck_again),
      cmocka_unit_test(test_long_notes_under_the_line_stay),
      cmocka_unit_test(test_bends_count),
      cmocka_unit_test(test_bytes_are_kept),
      cmocka_unit_test(test_before_the_chart_nothing_moves),
      cmocka_unit_test(test_what_cannot_be_fitted),
      cmocka_unit_test(test_no_way_by_the_rule_is_better),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
