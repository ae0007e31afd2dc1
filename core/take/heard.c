#include "take/heard.h"

#include "chart/chart_read.h"
#include "live/listen.h"
#include "take/bars.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"

#include <stdio.h>
#include <stdlib.h>

/// Most beats in a bar (#WayMetre).
#define METRE_BEATS_MAX 64

enum { META_TEXT = 0x01, META_LYRIC = 0x05, META_MARKER = 0x06 };

/// Keys struck no further apart are one chord: half a sixteenth note.
#define TOGETHER (WAY_TICKS_PER_QUARTER / 8)

static WayStatus refuse(WayError* error, WayStatus status, const char* message) {
  if (!error) return status;
  *error = (WayError){status, 0, 0, 0, ""};
  WayOut out = way_out(error->message, sizeof(error->message));
  way_out_str(&out, message);
  return status;
}

static bool push(WayHeard* h, WayTick tick, const WayChord* chord) {
  if (h->n && way_chord_equal(&h->chords[h->n - 1].chord, chord)) return true;
  if (!(h->n & (h->n - 1))) { // room doubles at powers of two
    WayTimedChord* const more =
        realloc(h->chords, (h->n ? 2 * (size_t)h->n : 1) * sizeof(*more));
    if (!more) return false;
    h->chords = more;
  }
  h->chords[h->n++] = (WayTimedChord){tick, *chord};
  return true;
}

/// Hand over what was heard, or refuse.
static WayStatus finish(WayHeard* h, bool memory, const char* nothing, WayHeard* out,
                        WayError* error) {
  if (memory && h->n) {
    *out = *h;
    return WAY_OK;
  }
  free(h->chords);
  return memory ? refuse(error, WAY_ERR_RANGE, nothing)
                : refuse(error, WAY_ERR_NO_MEMORY, way_strerror(WAY_ERR_NO_MEMORY));
}

// ---- Names.

static bool read_names(const WaySmf* smf, uint8_t type, WayHeard* h) {
  WaySmf* const metas = way_smf_metas(smf, type);
  bool memory = metas != NULL;
  for (uint32_t i = 0; memory && i < metas->tracks[0].n; ++i) {
    const WaySmfEvent* const e = &metas->tracks[0].events[i];
    WayChord chord;
    if (!way_chord_read(way_text_trim(way_smf_meta_data(e)), &chord, NULL))
      memory = push(h, way_smf_music_tick(smf, e->tick), &chord);
  }
  way_smf_free(metas);
  return memory;
}

WayStatus way_heard_names(const WaySmf* smf, WayHeard* out, WayError* error) {
  static const uint8_t types[] = {META_MARKER, META_TEXT, META_LYRIC};
  WayHeard h = {0, NULL};
  bool memory = true;
  for (size_t i = 0; memory && !h.n && i < WAY_COUNT(types); ++i)
    memory = read_names(smf, types[i], &h);
  return finish(&h, memory, "no chord names among its markers, texts or lyrics", out,
                error);
}

// ---- Notes.

typedef struct {
  WayListen listen;
  WayHeard heard;
  bool struck;   // keys wait to be read
  WayTick since; // when the first of them was struck
} Hearing;

static bool settle(Hearing* h) {
  h->struck = false;
  return !way_listen_settle(&h->listen, NULL) ||
         push(&h->heard, h->since, &h->listen.chord);
}

static bool hear(Hearing* h, WayTick tick, const uint8_t* bytes) {
  const uint8_t status = bytes[0] & 0xF0, channel = bytes[0] & 0x0F;
  if (h->struck && tick - h->since > TOGETHER && !settle(h)) return false;
  if (status == 0x90 && bytes[2]) {
    way_listen_strike(&h->listen, channel, bytes[1], h->struck);
    if (!h->struck) h->since = tick;
    h->struck = true;
  } else if (status == 0x80 || status == 0x90) {
    if (!way_listen_lift(&h->listen, channel, bytes[1]) || h->struck) return true;
    h->since = tick;
    return settle(h);
  }
  return true;
}

WayStatus way_heard_track(const WaySmf* smf, const WayTakeChoice* choice, WayHeard* out,
                          WayError* error) {
  uint32_t track = 0;
  const WayStatus st = way_take_track(smf, choice, &track, error);
  if (st) return st;
  Hearing h = {.struck = false};
  way_listen_init(&h.listen);
  bool memory = true;
  const WaySmfTrack* const t = &smf->tracks[track];
  for (uint32_t i = 0; memory && i < t->n; ++i) {
    const uint8_t channel = t->events[i].bytes[0] & 0x0F;
    if (!choice->channel || choice->channel == channel + 1)
      memory = hear(&h, way_smf_music_tick(smf, t->events[i].tick), t->events[i].bytes);
  }
  if (memory && h.struck) memory = settle(&h);
  return finish(&h.heard, memory, "no chords in the track", out, error);
}

/// The first track with chords that is called Chords, or else is named like one.
static WayStatus hear_named_track(const WaySmf* smf, bool called_chords, WayHeard* out,
                                  WayError* error) {
  for (uint32_t t = 0; t < smf->n_tracks; ++t) {
    const WayText name = way_text_trim(way_smf_track_name(&smf->tracks[t]));
    if (called_chords ? !way_text_is_nocase(name, "chords")
                      : !way_take_named_like_chords(name))
      continue;
    const WayTakeChoice choice = {(int)t, NULL, 0};
    const WayStatus st = way_heard_track(smf, &choice, out, error);
    if (st != WAY_ERR_RANGE) return st;
  }
  return WAY_ERR_RANGE;
}

WayStatus way_heard_anywhere(const WaySmf* smf, WayHeard* out, WayError* error) {
  for (int pass = 0; pass < 2; ++pass) {
    const WayStatus st = hear_named_track(smf, !pass, out, error);
    if (st != WAY_ERR_RANGE) return st;
  }
  const WayStatus st = way_heard_names(smf, out, error);
  return st == WAY_ERR_RANGE
             ? refuse(error, st,
                      "no chords in it: no chord track by its name, no chord "
                      "names; a chart can be given with --chart")
             : st;
}

// ---- Bars: the chords beat by beat.

/// One bar of what was heard.
typedef struct {
  WayMetre metre;
  const WayChord* beats[METRE_BEATS_MAX]; // NULL: nothing heard yet
} Bar;

typedef struct {
  const WaySmf* smf;
  const WayHeard* heard;
  WayMetres metres;
  uint32_t next_chord; // first one past the place looked at
  uint32_t n;
  Bar* bars;
} Bars;

/// The chord of the beat at `tick`; NULL before the first.
static const WayChord* chord_at(Bars* b, WayTick tick) {
  const WayTick half = way_metre_beat(b->metres.now) / 2;
  while (b->next_chord < b->heard->n &&
         b->heard->chords[b->next_chord].tick < tick + half)
    ++b->next_chord;
  return b->next_chord ? &b->heard->chords[b->next_chord - 1].chord : NULL;
}

static Bar* push_bar(Bars* b) {
  if (!(b->n & (b->n - 1))) { // room doubles at powers of two
    Bar* const more = realloc(b->bars, (b->n ? 2 * (size_t)b->n : 1) * sizeof(*more));
    if (!more) return NULL;
    b->bars = more;
  }
  return &b->bars[b->n++];
}

static WayStatus gather_bars(Bars* b, WayTick origin) {
  const WayTick end = way_smf_music_end(b->smf);
  for (WayTick start = origin; !b->n || start < end;) {
    if (b->n == WAY_HEARD_BARS_MAX) return WAY_ERR_UNSUPPORTED;
    const WayMetre metre = way_metres_at(&b->metres, start);
    Bar* const bar = push_bar(b);
    if (!bar) return WAY_ERR_NO_MEMORY;
    bar->metre = metre;
    const WayTick beat = way_metre_beat(metre);
    for (uint8_t i = 0; i < metre.beats; ++i)
      bar->beats[i] = chord_at(b, start + i * beat);
    start += way_metre_bar(metre);
  }
  return WAY_OK;
}

// ---- Form: what comes round again.

static bool same_chord(const WayChord* a, const WayChord* b) {
  return a == b || (a && b && way_chord_equal(a, b));
}

/// Whether a chord arrives on a beat; the first does.
static bool arrives(const Bars* b, uint32_t bar, uint8_t beat) {
  if (!bar && !beat) return true;
  const Bar* const at = &b->bars[bar];
  const WayChord* const before =
      beat ? at->beats[beat - 1] : at[-1].beats[at[-1].metre.beats - 1];
  return !same_chord(before, at->beats[beat]);
}

/// Whether four of five chords that arrive do so again `period` bars on.
static bool comes_round(const Bars* b, uint32_t period) {
  uint32_t arrivals = 0, again = 0;
  for (uint32_t i = 0; i + period < b->n; ++i) {
    const Bar *from = &b->bars[i], *to = from + period;
    if (!way_metre_equal(from->metre, to->metre)) return false;
    for (uint8_t k = 0; k < from->metre.beats; ++k) {
      const bool here = arrives(b, i, k), there = arrives(b, i + period, k);
      arrivals += here || there;
      // The first chord only arrives again if another comes before it.
      again += same_chord(from->beats[k], to->beats[k]) && (here || there) &&
               (here == there || !(i || k));
    }
  }
  return 5 * again >= 4 * arrivals;
}

/// The shortest form that comes round at least once, of four bars or more; all bars if
/// none does.
static uint32_t form_length(const Bars* b) {
  for (uint32_t period = 1; period <= WAY_HEARD_FORM_MAX && 2 * period <= b->n;
       ++period)
    if (comes_round(b, period)) {
      uint32_t form = period;
      while (form < 4 && 2 * form <= b->n) form += period;
      return form;
    }
  return b->n;
}

/// Keep one chorus: on each beat the chord of most choruses.
static void fold(Bars* b, uint32_t form) {
  for (uint32_t i = 0; i < form; ++i)
    for (uint8_t k = 0; k < b->bars[i].metre.beats; ++k) {
      // Majority vote (Boyer and Moore): finds it in one pass if there is one.
      const WayChord* most = NULL;
      uint32_t lead = 0;
      for (uint32_t at = i; at < b->n; at += form) {
        const WayChord* const chord = b->bars[at].beats[k];
        if (!lead) most = chord;
        lead += same_chord(chord, most) ? 1 : UINT32_MAX; // one less
      }
      b->bars[i].beats[k] = most;
    }
  b->n = form;
}

// ---- Chart.

void way_heard_put(const WayChord* chord, FILE* to) {
  char symbol[WAY_SYMBOL_MAX];
  WayOut out = way_out(symbol, sizeof(symbol));
  const WayChord none = way_chord_none();
  way_chord_write(chord ? chord : &none, &out);
  fputs(symbol, to);
}

static void put_bar(const Bar* bar, FILE* to) {
  way_heard_put(bar->beats[0], to);
  unsigned waiting = 0; // beats that go on with the chord before
  for (uint8_t i = 1; i < bar->metre.beats; ++i) {
    if (same_chord(bar->beats[i], bar->beats[i - 1])) {
      ++waiting;
      continue;
    }
    for (; waiting; --waiting) fputs(" /", to);
    putc(' ', to);
    way_heard_put(bar->beats[i], to);
  }
  for (; waiting; --waiting) fputs(" /", to);
  fputs(" | ", to);
}

static void put_chart(const Bars* b, FILE* to) {
  for (uint32_t i = 0; i < b->n; ++i) {
    const Bar* const bar = &b->bars[i];
    const bool changes = !i || !way_metre_equal(bar->metre, bar[-1].metre);
    if (i && changes) fprintf(to, "\n[bar %u]\n", i + 1); // a metre needs a section
    if (changes) fprintf(to, "time: %u/%u\n| ", bar->metre.beats, bar->metre.unit);
    put_bar(bar, to);
  }
}

static WayStatus read_back(const Bars* b, WayChart** out, WayError* error) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  if (to) put_chart(b, to);
  const WayStatus st =
      to && !fclose(to)
          ? way_chart_read((WayText){text, size}, out, error)
          : refuse(error, WAY_ERR_NO_MEMORY, way_strerror(WAY_ERR_NO_MEMORY));
  free(text);
  return st;
}

WayStatus way_heard_chart(const WaySmf* smf, const WayHeard* heard, WayTick origin,
                          bool learn, WayChart** out, WayError* error) {
  Bars b = {.smf = smf, .heard = heard};
  WayStatus st = way_metres_init(&b.metres, smf, (WayMetre){4, 4});
  if (!st) st = gather_bars(&b, origin);
  if (st) {
    refuse(error, st,
           st == WAY_ERR_UNSUPPORTED ? "more bars than a chart can have"
                                     : way_strerror(st));
  } else {
    if (learn) fold(&b, form_length(&b));
    st = read_back(&b, out, error);
  }
  free(b.bars);
  way_metres_free(&b.metres);
  return st;
}
