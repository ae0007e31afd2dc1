#include "live/form.h"

#include "theory/chord_write.h"
#include "theory/key_find.h"

#include <math.h>
#include <string.h>

void way_form_chords_init(WayFormChords* c) {
  c->n = 1;
  c->sounds[0] = 0;
  c->chords[0] = way_chord_none();
}

uint8_t way_form_enter(WayFormChords* c, const WayChord* chord, uint16_t sound) {
  if (way_chord_is_none(chord)) return 0;
  for (uint8_t i = 1; i < c->n; ++i)
    if (c->sounds[i] == sound || way_chord_equal(&c->chords[i], chord)) return i;
  if (c->n == WAY_FORM_CHORDS_MAX) return WAY_FORM_CHORDS_MAX;
  c->sounds[c->n] = sound;
  c->chords[c->n] = *chord;
  return c->n++;
}

bool way_form_same(const WayFormChords* a, uint8_t i, const WayFormChords* b,
                   uint8_t k) {
  return a->sounds[i] == b->sounds[k] ||
         (i && k && way_chord_equal(&a->chords[i], &b->chords[k]));
}

uint8_t way_form_at(const WayForm* f, int64_t beat) {
  const int64_t all = way_form_beats(f);
  const int64_t at = (beat - f->origin / way_metre_beat(f->metre)) % all;
  return f->beats[at < 0 ? at + all : at];
}

bool way_form_equal(const WayForm* a, const WayForm* b) {
  if (a->bars != b->bars || !way_metre_equal(a->metre, b->metre)) return false;
  for (int64_t i = 0; i < way_form_beats(a); ++i)
    if (!way_form_same(&a->chords, way_form_at(a, i), &b->chords, way_form_at(b, i)))
      return false;
  return true;
}

// Text.

/// How many beats in a row from `beat` on have its chord, inside its bar.
static unsigned lasts(const uint8_t* bar, unsigned beats, unsigned beat) {
  unsigned n = 1;
  while (beat + n < beats && bar[beat + n] == bar[beat]) ++n;
  return n;
}

/// The key that the chords make.
static WayKey key_of(const WayForm* f) {
  WayHeardChord heard[WAY_FORM_BEATS_MAX];
  size_t n = 0;
  for (uint32_t i = 0; i < way_form_beats(f); ++i) {
    if (!i || f->beats[i] != f->beats[i - 1])
      heard[n++] = (WayHeardChord){f->chords.chords[f->beats[i]], 0};
    heard[n - 1].beats += 4.0F / f->metre.unit;
  }
  return way_key_find(heard, n).best.key;
}

static void write_chord(const WayChord* c, WayKey key, WayOut* out) {
  const WaySpelling root = way_key_spell(key, way_spelling_pc(c->root));
  WayChord spelled = way_chord_transposed(c, c->root, root);
  if (spelled.bass.alter > 1 || spelled.bass.alter < -1)
    spelled.bass = way_key_spell(key, way_spelling_pc(c->bass));
  way_chord_write(way_chord_is_none(c) ? c : &spelled, out);
}

static void write_bar(const WayForm* f, WayKey key, const uint8_t* bar, WayOut* out) {
  const unsigned beats = f->metre.beats, first = lasts(bar, beats, 0);
  bool even = true; // chords alone share the bar evenly
  for (unsigned i = 0; i < beats; i += lasts(bar, beats, i))
    even &= lasts(bar, beats, i) == first;
  for (unsigned i = 0, n = 0; i < beats; i += n) {
    n = lasts(bar, beats, i);
    way_out_char(out, ' ');
    write_chord(&f->chords.chords[bar[i]], key, out);
    for (unsigned k = 1; k < n && !even; ++k) way_out_str(out, " /");
  }
  way_out_str(out, " |");
}

/// Two decimals, without zeros at the end.
static void write_tempo(double tempo, WayOut* out) {
  const int64_t cents = llround(tempo * 100);
  way_out_int(out, cents / 100);
  if (!(cents % 100)) return;
  way_out_char(out, '.');
  way_out_int(out, cents / 10 % 10);
  if (cents % 10) way_out_int(out, cents % 10);
}

void way_form_write(const WayForm* f, WayOut* out) {
  if (f->origin) {
    way_out_str(out, "; begins in bar ");
    way_out_int(out, f->origin / way_metre_bar(f->metre) + 1);
    way_out_str(out, ", counted from the start bar\n");
  }
  way_out_str(out, "time: ");
  way_out_int(out, f->metre.beats);
  way_out_char(out, '/');
  way_out_int(out, f->metre.unit);
  way_out_str(out, "\ntempo: ");
  write_tempo(f->tempo, out);
  way_out_char(out, '\n');
  const WayKey key = key_of(f);
  for (unsigned bar = 0; bar < f->bars; ++bar) {
    const uint8_t* const beats = &f->beats[bar * f->metre.beats];
    if (bar % 4 == 0)
      way_out_str(out, "\n|");
    else if (!memcmp(beats, beats - f->metre.beats, f->metre.beats)) {
      way_out_str(out, " % |");
      continue;
    }
    write_bar(f, key, beats, out);
  }
  way_out_char(out, '\n');
}

bool way_form_of(const WayTimeline* t, WayTick origin, WayForm* out) {
  const WayMetre metre = t->bars[0].metre;
  if (origin < 0 || origin > WAY_FORM_ORIGIN_MAX || origin % way_metre_bar(metre))
    return false;
  if (t->n_bars > WAY_FORM_BARS_MAX || t->n_bars * metre.beats > WAY_FORM_BEATS_MAX)
    return false;
  WayForm f = {
      .origin = origin, .metre = metre, .bars = (uint16_t)t->n_bars, .tempo = t->tempo};
  way_form_chords_init(&f.chords);
  for (uint32_t bar = 0; bar < t->n_bars; ++bar)
    if (!way_metre_equal(t->bars[bar].metre, metre)) return false;
  for (uint32_t i = 0; i < way_form_beats(&f); ++i) {
    const uint32_t span = way_timeline_at(t, i * way_metre_beat(metre)).span;
    const WayChord* const c = &way_timeline_harmony(t, span)->chord;
    const uint8_t id = way_form_enter(
        &f.chords, c, way_form_sound(way_chord_pcs(c), way_spelling_pc(c->bass)));
    if (id == WAY_FORM_CHORDS_MAX) return false;
    f.beats[i] = id;
  }
  *out = f;
  return true;
}
