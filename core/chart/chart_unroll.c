#include "chart/chart_unroll.h"

#include "chart/chart_key.h"
#include "chart/chart_read.h"
#include "chart/chart_walk.h"
#include "chart/targets.h"
#include "theory/loop_fit.h"

#include <stdlib.h>
#include <string.h>

// Equal chords -----------------------------------------------------------------------

/// Chords in their keys, each once, found by hash.
typedef struct {
  const WayChord** chords; ///< Borrowed from the chart
  WayKey* keys;
  uint32_t* slots; ///< Index of a chord + 1, or 0
  uint32_t n, n_slots;
} Distinct;

static void distinct_free(Distinct* d) {
  free(d->chords);
  free(d->keys);
  free(d->slots);
}

/// Make room for `n` chords, all different at worst.
static bool distinct_init(Distinct* d, uint32_t n) {
  *d = (Distinct){.n_slots = 16};
  while (d->n_slots < 2 * n) d->n_slots *= 2;
  d->chords = malloc(n * sizeof(const WayChord*));
  d->keys = malloc(n * sizeof(*d->keys));
  d->slots = calloc(d->n_slots, sizeof(*d->slots));
  if (d->chords && d->keys && d->slots) return true;
  distinct_free(d);
  return false;
}

/// FNV-1a, 32 bits (Fowler, Noll, Vo; RFC 9923).
static uint32_t hash(const void* bytes, size_t n, uint32_t seed) {
  for (const uint8_t* at = bytes; n--; ++at) seed = (seed ^ *at) * 16777619u;
  return seed;
}

/// Index of a chord in a key, added if it is new.
static uint32_t distinct_find(Distinct* d, const WayChord* chord, WayKey key) {
  uint32_t h = hash(&chord->root, sizeof(chord->root), 2166136261u);
  h = hash(&chord->bass, sizeof(chord->bass), h);
  h = hash(chord->tones, chord->n_tones * sizeof(chord->tones[0]), h);
  h = hash(&key.tonic, sizeof(key.tonic), h ^ (uint32_t)key.mode);
  for (;; ++h) {
    uint32_t* const slot = &d->slots[h & (d->n_slots - 1)];
    if (!*slot) {
      d->chords[d->n] = chord;
      d->keys[d->n] = key;
      *slot = d->n + 1;
      return d->n++;
    }
    if (way_chord_equal(d->chords[*slot - 1], chord) &&
        way_key_equal(d->keys[*slot - 1], key))
      return *slot - 1;
  }
}

// The timeline ------------------------------------------------------------------------

/// The timeline's block while it is filled.
typedef struct {
  const WayChart* chart;
  Distinct distinct;
  WayTimeline t;
  WayBar* bars;
  WaySpan* spans;
  WaySection* sections;
  WayKey* parts;  ///< Keys found for every chord; NULL where the chart gives its key
  uint32_t heard; ///< Chords so far
} Unroll;

/// Begin the form's next section with its first bar.
static void add_section(Unroll* u, uint32_t section) {
  WaySection* const s = &u->sections[u->t.n_sections++];
  memcpy(s->name, u->chart->sections[section].name, sizeof(s->name));
  s->first_bar = u->t.n_bars;
}

/// The key the next chord is heard in.
static WayKey key_next(Unroll* u, const WayChartSection* s) {
  const uint32_t i = u->heard++;
  return u->parts && !s->key_given ? u->parts[i] : s->key;
}

/// Whether the chord of the last span is this one, whatever their keys.
static bool rings_on(const Unroll* u, const WayChord* chord) {
  const uint32_t n = u->t.n_spans;
  return n && way_chord_equal(u->distinct.chords[u->spans[n - 1].harmony], chord);
}

/// Add a chord.  One that rings on, into a `%` or without a target of its own, is no
/// span, unless its key is another; a `%` plans no target for it again.
static void add_span(Unroll* u, WayTick start, const WayChartSlot* slot, WayKey key,
                     bool again) {
  const uint32_t harmony = distinct_find(&u->distinct, &slot->chord, key);
  const uint32_t n = u->t.n_spans;
  WaySpan span = {start, harmony, slot->target, WAY_LINE_SILENT};
  if (rings_on(u, &slot->chord)) {
    if (again) span.target = (WayDegree){0, 0};
    if (u->spans[n - 1].harmony == harmony && !span.target.number) return;
  }
  u->spans[n] = span;
  ++u->t.n_spans;
}

static bool add_bar(void* to, uint32_t section, uint32_t bar) {
  Unroll* const u = to;
  const WayChartSection* const s = &u->chart->sections[section];
  WayTick starts[WAY_CHART_SHARES_MAX + 1];
  const WayChartBar* const b = way_chart_bar_starts(u->chart, bar, s->metre, starts);
  u->bars[u->t.n_bars++] = (WayBar){u->t.length, s->metre, u->t.n_sections - 1};
  const bool again = b != &u->chart->bars[bar];
  for (uint32_t i = 0; i < b->n_slots; ++i)
    add_span(u, u->t.length + starts[i], &u->chart->slots[b->first_slot + i],
             key_next(u, s), again);
  u->t.length += way_metre_bar(s->metre);
  return true;
}

/// The room an array takes in the block, so that the next is aligned.
static size_t room(uint32_t n, size_t size) {
  return (n * size + _Alignof(max_align_t) - 1) & ~(_Alignof(max_align_t) - 1);
}

/// Put the finished arrays into one block; `spans` receives those in it.
static WayTimeline* pack(const Unroll* u, WaySpan** spans_packed) {
  const size_t bars = room(1, sizeof(WayTimeline));
  const size_t spans = bars + room(u->t.n_bars, sizeof(WayBar));
  const size_t sections = spans + room(u->t.n_spans, sizeof(WaySpan));
  const size_t harmonies = sections + room(u->t.n_sections, sizeof(WaySection));
  char* const block = malloc(harmonies + u->t.n_harmonies * sizeof(WayHarmony));
  if (!block) return NULL;
  memcpy(block + bars, u->bars, u->t.n_bars * sizeof(WayBar));
  memcpy(block + spans, u->spans, u->t.n_spans * sizeof(WaySpan));
  memcpy(block + sections, u->sections, u->t.n_sections * sizeof(WaySection));
  WayHarmony* const h = (WayHarmony*)(void*)(block + harmonies);
  for (uint32_t i = 0; i < u->t.n_harmonies; ++i)
    h[i] = way_harmony(u->distinct.chords[i], u->distinct.keys[i], &u->t.loop_pcs);
  WayTimeline* const t = (WayTimeline*)(void*)block;
  *t = u->t;
  *spans_packed = (WaySpan*)(void*)(block + spans);
  t->bars = (const WayBar*)(const void*)(block + bars);
  t->spans = (const WaySpan*)(const void*)(block + spans);
  t->sections = (const WaySection*)(const void*)(block + sections);
  t->harmonies = h;
  return t;
}

/// The scales of the loop go by all chords for as long as they sound.
static WayLoopScales loop_scales(const Unroll* u) {
  WayLoopSum sum = {0};
  for (uint32_t i = 0; i < u->t.n_spans; ++i) {
    const WayTick end = i + 1 < u->t.n_spans ? u->spans[i + 1].start : u->t.length;
    way_loop_add(&sum, u->distinct.chords[u->spans[i].harmony],
                 (double)(end - u->spans[i].start));
  }
  return way_loop_scales(&sum, u->t.key);
}

/// Walk the form into arrays of the greatest possible size.
static WayStatus fill(Unroll* u, const WayChartSize* size) {
  u->bars = malloc(size->bars * sizeof(*u->bars));
  u->spans = malloc(size->chords * sizeof(*u->spans));
  u->sections = malloc(size->sections * sizeof(*u->sections));
  if (!u->bars || !u->spans || !u->sections) return WAY_ERR_NO_MEMORY;
  if (!u->chart->key_given) {
    const WayStatus st = way_chart_key_parts(u->chart, &u->parts);
    if (st) return st;
  }
  for (uint32_t i = 0; i < size->sections; ++i) {
    const uint32_t section = way_chart_form_section(u->chart, i);
    add_section(u, section);
    way_chart_walk_section(u->chart, section, add_bar, u);
  }
  u->t.n_harmonies = u->distinct.n;
  u->t.loop = loop_scales(u);
  u->t.loop_pcs = way_material_pcs(&u->t.loop);
  return WAY_OK;
}

/// Pack the form, and give each span its tone of the guide-tone line.
static WayStatus finish(const Unroll* u, WayTimeline** out) {
  WaySpan* spans = NULL;
  WayTimeline* const t = pack(u, &spans);
  if (!t) return WAY_ERR_NO_MEMORY;
  WayLineTone* tones = NULL;
  const WayStatus st = way_targets_line(t, WAY_TARGETS_LOW, WAY_TARGETS_HIGH, &tones);
  if (st) {
    way_timeline_free(t);
    return st;
  }
  for (uint32_t i = 0; i < t->n_spans; ++i) spans[i].line = tones[i].pitch;
  free(tones);
  *out = t;
  return WAY_OK;
}

WayStatus way_chart_unroll(const WayChart* chart, WayTimeline** out) {
  WayChartSize size;
  WayStatus st = way_chart_size(chart, &size);
  if (st) return st;
  Unroll u = {.chart = chart, .t = {.key = chart->key, .tempo = chart->tempo}};
  if (!distinct_init(&u.distinct, size.chords)) return WAY_ERR_NO_MEMORY;
  st = fill(&u, &size);
  if (!st) st = finish(&u, out);
  free(u.bars);
  free(u.spans);
  free(u.sections);
  free(u.parts);
  distinct_free(&u.distinct);
  return st;
}

WayStatus way_timeline_read(WayText text, WayTimeline** out, WayError* error) {
  WayChart* chart = NULL;
  WayStatus st = way_chart_read(text, &chart, error);
  if (st) return st;
  st = way_chart_unroll(chart, out);
  way_chart_free(chart);
  return st ? way_fail(st, way_strerror(st), error) : WAY_OK;
}

void way_timeline_free(WayTimeline* timeline) { free(timeline); }
