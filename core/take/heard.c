#include "take/heard.h"

#include "chart/chart_read.h"
#include "live/listen.h"
#include "theory/chord_name.h"

#include <stdio.h>
#include <stdlib.h>

enum { META_TEXT = 0x01, META_LYRIC = 0x05, META_MARKER = 0x06, META_METRE = 0x58 };

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
    WayHeardChord* const more =
        realloc(h->chords, (h->n ? 2 * (size_t)h->n : 1) * sizeof(*more));
    if (!more) return false;
    h->chords = more;
  }
  h->chords[h->n++] = (WayHeardChord){tick, *chord};
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

// ---- Chart.

typedef struct {
  const WaySmf* smf;
  const WayHeard* heard;
  const WaySmf* metres; // time signatures
  uint32_t next_chord;  // first one past the place written
  uint32_t next_metre;
  WayMetre metre;
  FILE* to;
} Writer;

/// Follow the time signatures up to a bar; whether the metre changes there.
static bool follow_metre(Writer* w, WayTick tick) {
  const WaySmfTrack* const t = &w->metres->tracks[0];
  const WayMetre before = w->metre;
  for (; w->next_metre < t->n; ++w->next_metre) {
    const WaySmfEvent* const e = &t->events[w->next_metre];
    if (way_smf_music_tick(w->smf, e->tick) > tick) break;
    const WayText data = way_smf_meta_data(e);
    if (data.size < 2 || (uint8_t)data.at[1] > 6) continue;
    const WayMetre m = {(uint8_t)data.at[0], (uint8_t)(1u << (uint8_t)data.at[1])};
    if (way_metre_valid(m)) w->metre = m;
  }
  return w->metre.beats != before.beats || w->metre.unit != before.unit;
}

/// The chord of the beat at `tick`; NULL before the first.
static const WayChord* chord_at(Writer* w, WayTick tick) {
  const WayTick half = way_metre_beat(w->metre) / 2;
  while (w->next_chord < w->heard->n &&
         w->heard->chords[w->next_chord].tick < tick + half)
    ++w->next_chord;
  return w->next_chord ? &w->heard->chords[w->next_chord - 1].chord : NULL;
}

static void put_chord(const WayChord* chord, FILE* to) {
  char symbol[WAY_SYMBOL_MAX] = "N.C.";
  WayOut out = way_out(symbol, sizeof(symbol));
  const WayChord none = way_chord_none();
  way_chord_write(chord ? chord : &none, &out);
  fputs(symbol, to);
}

static void put_bar(Writer* w, WayTick start) {
  const WayTick beat = way_metre_beat(w->metre);
  const WayChord* last = chord_at(w, start);
  put_chord(last, w->to);
  unsigned waiting = 0; // beats that go on with the last chord
  for (uint8_t i = 1; i < w->metre.beats; ++i) {
    const WayChord* const chord = chord_at(w, start + i * beat);
    if (chord == last) {
      ++waiting;
      continue;
    }
    for (; waiting; --waiting) fputs(" /", w->to);
    putc(' ', w->to);
    put_chord(last = chord, w->to);
  }
  for (; waiting; --waiting) fputs(" /", w->to);
  fputs(" | ", w->to);
}

static WayTick end_of(const WaySmf* smf) {
  uint64_t end = 0;
  for (uint32_t t = 0; t < smf->n_tracks; ++t)
    if (smf->tracks[t].end > end) end = smf->tracks[t].end;
  return way_smf_music_tick(smf, end);
}

static bool put_chart(Writer* w, WayTick origin) {
  const WayTick end = end_of(w->smf);
  uint32_t n = 0;
  for (WayTick bar = origin; !n || bar < end; bar += way_metre_bar(w->metre)) {
    if (++n > WAY_HEARD_BARS_MAX) return false;
    const bool changes = follow_metre(w, bar);
    if (changes && n > 1) fprintf(w->to, "\n[bar %u]\n", n); // a metre needs a section
    if (changes || n == 1)
      fprintf(w->to, "time: %u/%u\n| ", w->metre.beats, w->metre.unit);
    put_bar(w, bar);
  }
  return true;
}

WayStatus way_heard_chart(const WaySmf* smf, const WayHeard* heard, WayTick origin,
                          WayChart** out, WayError* error) {
  char* text = NULL;
  size_t size = 0;
  WaySmf* const metres = way_smf_metas(smf, META_METRE);
  FILE* const to = metres ? open_memstream(&text, &size) : NULL;
  Writer w = {.smf = smf, .heard = heard, .metres = metres, .metre = {4, 4}, .to = to};
  const bool fits = to && put_chart(&w, origin);
  const bool written = to && !fclose(to);
  way_smf_free(metres);
  WayStatus st = WAY_ERR_NO_MEMORY;
  if (written)
    st = fits ? way_chart_read((WayText){text, size}, out, error)
              : refuse(error, WAY_ERR_UNSUPPORTED, "more bars than a chart can have");
  else
    refuse(error, st, way_strerror(st));
  free(text);
  return st;
}
