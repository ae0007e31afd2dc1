#include "chart/chart_transpose.h"

#include "theory/chord_write.h"
#include "theory/numeral_read.h"

#include <stdlib.h>
#include <string.h>

/// What is moved where.
typedef struct {
  WaySpelling from, to;
} Move;

/// The note moved, with at most one accidental.
static WaySpelling moved_note(WaySpelling s, Move m) {
  const int fifths =
      way_spelling_fifths(s) + way_spelling_fifths(m.to) - way_spelling_fifths(m.from);
  const WaySpelling note = way_spelling_at_fifths(fifths);
  return note.alter < -1 || note.alter > 1 ? way_spelling_simple(note) : note;
}

WaySpelling way_chart_tonic_moved(WayKey key, int semitones) {
  const WayPc pc = way_pc(way_spelling_pc(key.tonic) + semitones % 12);
  WayKey best = key;
  int least = 100;
  for (int fifths = -8; fifths <= 12; ++fifths) {
    const WayKey k = {way_spelling_at_fifths(fifths), key.mode};
    const int signature = abs(way_key_signature(k));
    if (way_spelling_pc(k.tonic) != pc || signature >= least) continue;
    least = signature;
    best = k;
  }
  return best.tonic;
}

/// A copy of an array; NULL if there is none, or if memory ran out (`*failed` is then
/// set).
static void* copied(const void* items, uint32_t n, size_t size, bool* failed) {
  if (!items) return NULL;
  void* const copy = malloc(n * size);
  if (copy)
    memcpy(copy, items, n * size);
  else
    *failed = true;
  return copy;
}

static WayChart* chart_copied(const WayChart* chart) {
  bool failed = false;
  WayChart* const c = copied(chart, 1, sizeof(*c), &failed);
  if (!c) return NULL;
  c->sections = copied(chart->sections, c->n_sections, sizeof(*c->sections), &failed);
  c->bars = copied(chart->bars, c->n_bars, sizeof(*c->bars), &failed);
  c->slots = copied(chart->slots, c->n_slots, sizeof(*c->slots), &failed);
  c->form = copied(chart->form, c->n_form, sizeof(*c->form), &failed);
  if (!failed) return c;
  way_chart_free(c);
  return NULL;
}

/// The key moved, in a signature of at most seven accidentals.
static WayKey moved_key(WayKey key, Move m) {
  key.tonic = moved_note(key.tonic, m);
  if (abs(way_key_signature(key)) > 7) key.tonic = way_chart_tonic_moved(key, 0);
  return key;
}

/// Move a chord or numeral.  Its target, a degree, stays.
static WayStatus move_slot(WayChartSlot* slot, Move m, WayKey key) {
  if (slot->kind == WAY_SLOT_NUMERAL)
    return way_numeral_read(way_text(slot->text), key, &slot->chord, NULL);
  if (slot->kind != WAY_SLOT_CHORD || way_chord_is_none(&slot->chord)) return WAY_OK;
  slot->chord.root = moved_note(slot->chord.root, m);
  slot->chord.bass = moved_note(slot->chord.bass, m);
  WayOut out = way_out(slot->text, sizeof(slot->text));
  way_chord_write(&slot->chord, &out);
  return out.cut ? WAY_ERR_RANGE : WAY_OK;
}

static WayStatus move_section(WayChart* c, WayChartSection* s, Move m) {
  s->key = s->key_given ? moved_key(s->key, m) : c->key;
  WayStatus st = WAY_OK;
  for (uint32_t i = 0; i < s->n_bars && !st; ++i) {
    const WayChartBar* const bar = &c->bars[s->first_bar + i];
    for (uint32_t j = 0; j < bar->n_slots && !st; ++j)
      st = move_slot(&c->slots[bar->first_slot + j], m, s->key);
  }
  return st;
}

WayStatus way_chart_transpose(const WayChart* chart, WaySpelling tonic,
                              WayChart** out) {
  WayChart* const c = chart_copied(chart);
  if (!c) return WAY_ERR_NO_MEMORY;
  const Move m = {chart->key.tonic, tonic};
  c->key.tonic = tonic;
  c->key_given = true;
  WayStatus st = WAY_OK;
  for (uint32_t i = 0; i < c->n_sections && !st; ++i)
    st = move_section(c, &c->sections[i], m);
  if (st)
    way_chart_free(c);
  else
    *out = c;
  return st;
}
