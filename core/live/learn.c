#include "live/learn.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/// Flags beside the number of a chord on a beat.
enum {
  ID = 0x3F,      ///< The number
  ARRIVES = 0x80, ///< Another chord was before it
  UNSURE = 0x40,  ///< Nothing was: it may have arrived or not
};
_Static_assert(WAY_FORM_CHORDS_MAX <= ID + 1, "a number fits beside the flags");

static unsigned beats_in_bar(const WayLearn* l) { return l->metre.beats; }
static WayTick bar_ticks(const WayLearn* l) { return way_metre_bar(l->metre); }

/// Bars the ring holds.
static uint32_t room(const WayLearn* l) {
  const uint32_t bars = WAY_LEARN_HEARD_MAX / beats_in_bar(l);
  return bars < 2 * WAY_FORM_BARS_MAX ? bars : 2 * WAY_FORM_BARS_MAX;
}

/// Longest form, in bars.
static uint32_t longest(const WayLearn* l) {
  const uint32_t bars = WAY_FORM_BEATS_MAX / beats_in_bar(l);
  return bars < WAY_FORM_BARS_MAX ? bars : WAY_FORM_BARS_MAX;
}

static int64_t floor_div(int64_t a, int64_t b) { return a / b - (a % b < 0); }

/// The beats of a bar, in the ring.
static uint8_t* bar_at(WayLearn* l, int64_t bar) {
  return &l->beats[(uint64_t)bar % room(l) * beats_in_bar(l)];
}
static const uint8_t* heard_bar(const WayLearn* l, int64_t bar) {
  return &l->beats[(uint64_t)bar % room(l) * beats_in_bar(l)];
}
static uint8_t* cell(WayLearn* l, int64_t beat) {
  return bar_at(l, beat / beats_in_bar(l)) + beat % beats_in_bar(l);
}

/// The beat a chord belongs to that began at `tick`.
static int64_t beat_of(const WayLearn* l, WayTick tick) {
  const WayTick beat = way_metre_beat(l->metre);
  return floor_div(tick + beat / 2 + beat / 16, beat);
}

/// Begin a new page in a bar.
static void turn_page(WayLearn* l, int64_t bar, bool partial) {
  const uint8_t now = l->now;
  const WayChord chord = l->chords.chords[now];
  const uint16_t sound = l->chords.sounds[now];
  way_form_chords_init(&l->chords);
  l->now = way_form_enter(&l->chords, &chord, sound);
  l->top = l->first = bar;
  l->n = 0;
  l->filled = bar * beats_in_bar(l);
  l->partial = partial;
  memset(l->arrivals, 0, sizeof(l->arrivals));
  memset(l->again, 0, sizeof(l->again));
}

/// The bar line at a place, as the number of the bar it begins; -1 if there is none.
static int64_t bar_line(const WayLearn* l, WayTick tick) {
  const int64_t bar = floor_div(tick + WAY_LEARN_NEAR, bar_ticks(l));
  return tick - bar * bar_ticks(l) <= WAY_LEARN_NEAR ? bar : -1;
}

/// Begin a new page at a place: in its bar, or in the start bar before it.
static void enter_page(WayLearn* l, WayTick tick) {
  const int64_t line = tick < 0 ? 0 : bar_line(l, tick);
  const int64_t bar = line < 0 ? floor_div(tick, bar_ticks(l)) : line;
  turn_page(l, bar, line < 0);
  l->began = bar + l->partial;
}

void way_learn_init(WayLearn* l) {
  memset(l, 0, sizeof(*l));
  l->metre = (WayMetre){4, 4};
  l->tempo = 120;
  way_form_chords_init(&l->chords);
  turn_page(l, 0, false);
}

void way_learn_forget(WayLearn* l) {
  const WayLearn before = *l;
  way_learn_init(l);
  l->metre = before.metre;
  l->tempo = before.tempo;
  l->keeps = before.keeps;
  l->number = before.number + before.known; // what is on its way comes too late
}

// The page.

/// Write the chord heard last up to a beat.
static void fill(WayLearn* l, int64_t end) {
  for (; l->filled < end; ++l->filled) *cell(l, l->filled) = l->now;
}

/// Count how the beats of a bar and those of a later one agree.
static void count(WayLearn* l, uint32_t period, int64_t bar, bool add) {
  unsigned arrivals = 0, again = 0;
  const uint8_t *const from = heard_bar(l, bar), *const to = heard_bar(l, bar + period);
  for (unsigned i = 0; i < beats_in_bar(l); ++i) {
    const unsigned a = from[i], differ = a ^ to[i];
    const unsigned here = (a | to[i]) >> 7, sure = (differ & ~a << 1) >> 7;
    arrivals += here;
    again += here & !(differ & ID) & !sure;
  }
  l->arrivals[period] = (uint16_t)(l->arrivals[period] + (add ? arrivals : -arrivals));
  l->again[period] = (uint16_t)(l->again[period] + (add ? again : -again));
}

/// Forget the oldest bar.
static void drop_bar(WayLearn* l) {
  const uint32_t most = longest(l);
  for (uint32_t p = WAY_LEARN_BARS_MIN; p <= most && p < l->n; ++p)
    count(l, p, l->first, false);
  ++l->first;
  --l->n;
}

static void close_bar(WayLearn* l, int64_t bar) {
  uint8_t* const beats = bar_at(l, bar);
  const bool begins = !l->n;
  uint8_t before = begins ? 0 : heard_bar(l, bar - 1)[beats_in_bar(l) - 1] & ID;
  for (unsigned i = 0; i < beats_in_bar(l); ++i) {
    const uint8_t id = beats[i] & ID;
    const bool first = begins && !i;
    beats[i] =
        (uint8_t)(id | (first || id != before ? ARRIVES : 0) | (first ? UNSURE : 0));
    before = id;
  }
  ++l->n;
  const uint32_t most = longest(l);
  for (uint32_t p = WAY_LEARN_BARS_MIN; p <= most && p < l->n; ++p)
    count(l, p, bar - p, true);
}

static bool is_empty(const WayLearn* l, int64_t bar) {
  for (unsigned i = 0; i < beats_in_bar(l); ++i)
    if (heard_bar(l, bar)[i] & ID) return false;
  return true;
}

// Finding the form.

static bool bars_equal(const WayLearn* l, int64_t a, int64_t b) {
  for (unsigned i = 0; i < beats_in_bar(l); ++i)
    if ((heard_bar(l, a)[i] ^ heard_bar(l, b)[i]) & ID) return false;
  return true;
}

/// Whether enough has come again after so many bars.
static bool is_heard(const WayLearn* l, uint32_t period) {
  const uint32_t again = l->n > period ? l->n - period : 0;
  return again >= WAY_LEARN_AGAIN_MIN && again >= period / 4;
}

/// Whether four of five chords that arrive do so again, and two at least.
static bool comes_round(const WayLearn* l, uint32_t period) {
  return l->again[period] >= 2 && 5 * l->again[period] >= 4 * l->arrivals[period];
}

/// Whether more of what arrives does so again after `a` bars than after `b`.
static bool is_better(const WayLearn* l, uint32_t a, uint32_t b) {
  return l->again[a] * l->arrivals[b] > l->again[b] * l->arrivals[a];
}

/// The length of the form that agrees best; 0 if none does.
static uint32_t find_period(const WayLearn* l) {
  const int64_t last = l->first + l->n - 1;
  const uint32_t most = longest(l);
  uint32_t best = 0;
  for (uint32_t p = WAY_LEARN_BARS_MIN; p <= most && is_heard(l, p); ++p)
    if (comes_round(l, p) && bars_equal(l, last, last - p) &&
        (!best || is_better(l, p, best)))
      best = p;
  return best;
}

/// The chords of a bar that comes round every `period` bars: on each beat that of most
/// choruses (Boyer and Moore: finds it if there is one), else the first.
static void fold_bar(const WayLearn* l, int64_t bar, uint32_t period, uint8_t* out) {
  const unsigned beats = beats_in_bar(l);
  const int64_t end = l->first + l->n;
  uint8_t most[64];
  uint16_t lead[64] = {0}, times[64] = {0};
  unsigned all = 0;
  for (int64_t at = bar; at < end; at += period, ++all)
    for (unsigned i = 0; i < beats; ++i) {
      const uint8_t id = heard_bar(l, at)[i] & ID;
      if (!lead[i]) most[i] = id;
      lead[i] = (uint16_t)(most[i] == id ? lead[i] + 1 : lead[i] - 1);
    }
  for (int64_t at = bar; at < end; at += period)
    for (unsigned i = 0; i < beats; ++i)
      times[i] = (uint16_t)(times[i] + ((heard_bar(l, at)[i] & ID) == most[i]));
  for (unsigned i = 0; i < beats; ++i)
    out[i] = 2 * times[i] > all ? most[i] : heard_bar(l, bar)[i] & ID;
}

/// Put a form together from bars that were heard.
/// @param bar Its first bar.  @param folds Whether it came round.
static void put_together(const WayLearn* l, int64_t bar, uint32_t bars, bool folds,
                         WayForm* f) {
  const unsigned beats = beats_in_bar(l);
  f->origin = bar * bar_ticks(l);
  f->metre = l->metre;
  f->bars = (uint16_t)bars;
  f->tempo = fmin(fmax(l->tempo, 10), 1000);
  f->chords = l->chords;
  memset(f->beats, 0, sizeof(f->beats));
  for (uint32_t i = 0; i < bars; ++i) {
    uint8_t* const out = &f->beats[i * beats];
    int64_t heard = bar + i;
    if (folds && heard < l->first) heard += bars; // that chorus is forgotten
    if (heard < l->first) continue;               // empty, before the first chord
    if (folds)
      fold_bar(l, heard, bars, out);
    else
      for (unsigned k = 0; k < beats; ++k) out[k] = heard_bar(l, heard)[k] & ID;
  }
}

static bool has_two_chords(const WayForm* f) {
  for (uint32_t i = 1; i < way_form_beats(f); ++i)
    if (f->beats[i] != f->beats[0]) return true;
  return false;
}

/// Take a form, unless it is the one known.
static void adopt(WayLearn* l, const WayForm* f) {
  if ((l->known && way_form_equal(&l->form, f)) || !has_two_chords(f)) return;
  l->form = *f;
  l->known = true;
  l->ready = l->agrees = false;
  l->wait = 1;
  ++l->number;
}

/// The first bar of the form that came round: that of the first chord, or the same
/// place one or more choruses on if that is forgotten.
static int64_t top_of(const WayLearn* l, uint32_t period) {
  const int64_t behind = l->first - l->top;
  return l->top + behind / period * period;
}

/// Look for a form; one in force stays unless it is seen not to come round.
static void search(WayLearn* l) {
  const uint32_t known = l->form.bars;
  if (l->agrees && (!is_heard(l, known) || comes_round(l, known))) return;
  const uint32_t period = find_period(l);
  if (!period) return;
  WayForm f;
  put_together(l, top_of(l, period), period, true, &f);
  f.origin = l->top * bar_ticks(l);
  adopt(l, &f);
}

// The form in force.

static bool expects(const WayLearn* l, int64_t beat, uint8_t id) {
  return way_form_same(&l->form.chords, way_form_at(&l->form, beat), &l->chords, id);
}

/// Whether the chord heard last, at `tick`, fits: it is the form's there, or on the
/// beat it is early for.
static bool fits(const WayLearn* l, WayTick tick) {
  const int64_t beat = floor_div(tick, way_metre_beat(l->metre));
  return expects(l, beat, l->now) || expects(l, beat_of(l, tick), l->now);
}

/// Whether it may still be there on a beat, or early: the form has it there, on the
/// beat before or on the next one.
static bool may_stand(const WayLearn* l, int64_t beat) {
  return expects(l, beat - 1, l->now) || expects(l, beat, l->now) ||
         expects(l, beat + 1, l->now);
}

static bool bar_agrees(const WayLearn* l, int64_t bar) {
  for (unsigned i = 0; i < beats_in_bar(l); ++i) {
    if (!expects(l, bar * beats_in_bar(l) + i, heard_bar(l, bar)[i] & ID)) return false;
  }
  return true;
}

void way_learn_use(WayLearn* l, bool use, WayTick tick) {
  l->ready = use;
  l->agrees =
      use && (!l->now || may_stand(l, floor_div(tick, way_metre_beat(l->metre))));
}

bool way_learn_usable(const WayLearn* l) {
  return l->known && !l->wait && way_metre_equal(l->form.metre, l->metre);
}

// Events.

WayTick way_learn_due(const WayLearn* l) {
  return l->rolls ? (l->first + l->n + 1) * bar_ticks(l) : INT64_MAX;
}

void way_learn_step(WayLearn* l, bool held) {
  const int64_t bar = l->first + l->n;
  const bool whole = !l->partial;
  fill(l, (bar + 1) * beats_in_bar(l));
  if (l->wait) --l->wait;
  if (!whole || (!l->n && is_empty(l, bar))) {
    l->partial = false;
    l->top = l->first = bar + 1;
  } else {
    if (l->n + 2 >= room(l)) drop_bar(l);
    close_bar(l, bar);
  }
  const bool stands = l->ready && may_stand(l, (bar + 1) * beats_in_bar(l));
  if (l->ready && l->agrees)
    l->agrees = !held || stands;
  else if (l->ready)
    l->agrees = stands && whole && bar_agrees(l, bar);
  if (l->n && !(l->known && l->keeps)) search(l);
}

void way_learn_hear(WayLearn* l, WayTick tick, const WayChord* chord, uint16_t sound,
                    bool again) {
  uint8_t id = way_form_enter(&l->chords, chord, sound);
  const int64_t bar = l->first + l->n;
  if (id == WAY_FORM_CHORDS_MAX) {
    l->now = 0;
    turn_page(l, bar, true);
    id = way_form_enter(&l->chords, chord, sound);
  }
  const int64_t beat = beat_of(l, tick), begins = bar * beats_in_bar(l);
  if (l->rolls && beat >= begins && beat <= begins + beats_in_bar(l)) {
    fill(l, beat);
    *cell(l, l->filled > beat ? l->filled - 1 : beat) = id;
    if (l->filled == beat) ++l->filled;
  }
  l->now = id;
  if (!again) l->agreed = l->agrees;
  if (l->ready && id) l->agrees = (l->agrees || l->agreed) && fits(l, tick);
}

/// If all between two bar lines was heard, it is the form.
static void learn_loop(WayLearn* l, int64_t from, int64_t to) {
  const int64_t bars = to - from;
  if (from < 0 || bars < 1 || bars > longest(l) || to > l->first + l->n) return;
  // Only bars at the start of a page may be missing: they were empty.
  if (from < l->first && l->first != l->top) return;
  if (from < l->began || (l->agrees && l->known) || (l->known && l->keeps)) return;
  WayForm f;
  put_together(l, from, (uint32_t)bars, false, &f);
  adopt(l, &f);
}

void way_learn_begin(WayLearn* l, WayTick tick, bool rolls, bool held) {
  if (!held) l->now = 0;
  enter_page(l, tick);
  l->left = tick;
  l->rolls = rolls;
}

void way_learn_jump(WayLearn* l, WayTick from, WayTick to, bool loops, bool rolls,
                    bool held) {
  if (l->rolls) l->left = from;
  if (rolls && llabs(to - l->left) > WAY_LEARN_NEAR) {
    const int64_t left = bar_line(l, l->left), entered = bar_line(l, to);
    if (loops && left > entered && entered >= 0) {
      if (left == l->first + l->n + 1) way_learn_step(l, held);
      learn_loop(l, entered, left);
    }
    if (!held) l->now = 0;
    enter_page(l, to);
  }
  l->rolls = rolls;
}

void way_learn_keep(WayLearn* l, bool keep, WayTick tick) {
  l->keeps = keep;
  if (!keep || (l->known && (l->agrees || l->wait))) return;
  const WayTick bar = bar_ticks(l);
  const int64_t end = floor_div(tick + bar / 2, bar);
  const int64_t bars = end - l->first;
  if (l->partial || bars < 1 || bars > longest(l) || end > l->first + l->n + 1) return;
  WayLearn page = *l; // what is missing of a bar goes on as it is
  fill(&page, end * beats_in_bar(l));
  WayForm f;
  put_together(&page, l->first, (uint32_t)bars, false, &f);
  adopt(l, &f);
}

void way_learn_recall(WayLearn* l, const WayForm* form) {
  l->form = *form;
  l->known = true;
  l->ready = l->agrees = false;
  l->wait = 0;
  ++l->number;
}
