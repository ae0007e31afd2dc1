// The live engine through random sessions: `soak [SESSIONS [SEED]]`.  After each one no
// note may hang and frames may never have gone back.
// The seed printed with a failure plays its session again: `soak 1 SEED`.
#include "live/engine.h"
#include "rng.h"
#include "synth.h"
#include "theory/chord_read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { BAR = 4 * WAY_TICKS_PER_QUARTER, BARS = 4, FORMS = 3, OPS = 60 };

typedef struct {
  WayTimeline timeline;
  WayHarmony harmonies[BARS];
  WaySpan spans[BARS];
  WayBar bars[BARS];
  WaySection section;
} Form;

/// What came out of the engine.
typedef struct {
  Synth synth;
  int64_t last;      ///< Newest frame
  uint32_t room;     ///< Messages still taken
  bool fell;         ///< Frames went back
  uint64_t messages; ///< Of all sessions
} Heard;

static Form forms[FORMS];

static void make_forms(void) {
  static const char* const chords[FORMS][BARS] = {
      {"C", "F", "G7", "C"}, {"Dm7", "G7", "Cmaj7", "N.C."}, {"Eb", "Ab", "Eb", "Bb7"}};
  const WayKey key = {{0, 0}, WAY_MODE_MAJOR};
  const WayLoopScales loop = way_material_of_key(key);
  const WayLoopPcs loop_pcs = way_material_pcs(&loop);
  for (unsigned i = 0; i < FORMS; ++i) {
    Form* const f = &forms[i];
    for (uint32_t n = 0; n < BARS; ++n) {
      WayChord chord;
      if (way_chord_read(way_text(chords[i][n]), &chord, NULL)) exit(1);
      f->harmonies[n] = way_harmony(&chord, key, &loop_pcs);
      f->spans[n] = (WaySpan){n * BAR, n, {(int8_t)(n == 1 ? 3 : 0), 0}, 60};
      f->bars[n] = (WayBar){n * BAR, {4, 4}, 0};
    }
    f->timeline = (WayTimeline){.length = BARS * BAR,
                                .key = key,
                                .loop = loop,
                                .loop_pcs = loop_pcs,
                                .tempo = 120,
                                .n_spans = BARS,
                                .n_bars = BARS,
                                .n_sections = 1,
                                .n_harmonies = BARS,
                                .spans = f->spans,
                                .bars = f->bars,
                                .sections = &f->section,
                                .harmonies = f->harmonies};
  }
}

static bool take_midi(void* to, int64_t frame, const uint8_t* bytes, uint32_t size) {
  Heard* const h = to;
  if (!h->room) return false;
  --h->room;
  ++h->messages;
  if (frame < h->last) h->fell = true;
  h->last = frame;
  synth_hear(&h->synth, bytes, size);
  return true;
}

static bool take_note(void* to, int64_t frame, WayNoteWord note) {
  uint8_t bytes[3];
  way_note_bytes(note, bytes);
  return take_midi(to, frame, bytes, sizeof(bytes));
}

static void take_mark(void* to, const WayMark* mark) {
  Heard* const h = to;
  if (mark->frame < h->last) h->fell = true;
  h->last = mark->frame;
}

static void random_settings(WaySettings* s, uint32_t* rng) {
  *s = way_settings_default();
  for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i) {
    const WaySettingRow* const row = &way_setting_rows[i];
    const double part = rng_below(rng, 1001) / 1000.0;
    if (row->name || !rng_below(rng, 3))
      way_settings_put(s, (WaySetting)i, row->least + part * (row->most - row->least));
  }
}

/// Send a message of any sort.
static void random_message(WayEngine* e, int64_t frame, const WaySink* sink,
                           uint32_t* rng) {
  static const uint8_t controllers[] = {1,   6,   38,  64,  100, 101,
                                        120, 121, 123, 126, 127};
  const unsigned channel = rng_below(rng, 3) ? 0 : rng_below(rng, 16);
  const unsigned sort = rng_below(rng, 16);
  const unsigned status = sort < 8    ? 0x90
                          : sort < 13 ? 0x80
                          : sort < 14 ? 0xE0
                          : sort < 15 ? 0xB0
                                      : 0x80 + 16 * rng_below(rng, 8);
  const unsigned number = (status & 0xF0) == 0xB0
                              ? controllers[rng_below(rng, sizeof(controllers))]
                              : 50 + rng_below(rng, 24);
  const uint8_t bytes[3] = {(uint8_t)(status | (status < 0xF0 ? channel : 0)),
                            (uint8_t)number, (uint8_t)rng_below(rng, 128)};
  const WayInput input = rng_below(rng, 4) ? WAY_INPUT_MELODY : WAY_INPUT_CHORDS;
  way_engine_midi(e, input, frame, bytes, 1 + (rng_below(rng, 9) ? 2 : 0), sink);
}

static void random_op(WayEngine* e, int64_t frame, const WaySink* sink, Heard* h,
                      uint32_t* rng) {
  WaySettings settings;
  const WayClock clock = {frame,
                          rng_below(rng, 2) ? (double)rng_below(rng, 6 * BAR) - BAR
                                            : rng_below(rng, 4) * BAR,
                          rng_below(rng, 5) * 0.37};
  switch (rng_below(rng, 24)) {
  case 0:
    random_settings(&settings, rng);
    way_engine_set(e, &settings, frame, sink);
    break;
  case 1: way_engine_transport(e, &clock, sink); break;
  case 2: {
    const unsigned form = rng_below(rng, FORMS + 1);
    way_engine_chart(e, form < FORMS ? &forms[form].timeline : NULL, frame, sink);
    break;
  }
  case 3: h->room = rng_below(rng, 2) ? rng_below(rng, 4) : UINT32_MAX; break;
  case 4:
    if (!rng_below(rng, 4)) way_engine_silence(e, frame, sink);
    break;
  default: random_message(e, frame, sink, rng);
  }
}

/// What went otherwise than promised; NULL if nothing did.
static const char* session(WayEngine* e, Heard* h, uint32_t seed) {
  const WaySink sink = {h, take_note, take_midi, take_mark};
  uint32_t rng = (seed ? seed : 1) * 2654435761u;
  memset(&h->synth, 0, sizeof(h->synth));
  h->last = INT64_MIN;
  h->room = UINT32_MAX;
  h->fell = false;
  way_engine_init(e, 48000);
  int64_t frame = 0;
  for (unsigned i = 0; i < OPS; ++i) {
    frame += rng_below(&rng, 3) ? rng_below(&rng, 6000) : 0;
    random_op(e, frame, &sink, h, &rng);
    if (!rng_below(&rng, 4)) way_engine_advance(e, frame, &sink);
  }
  h->room = UINT32_MAX;
  way_engine_silence(e, frame, &sink);
  way_engine_flush(e, frame, &sink);
  if (h->synth.total) return "a note hangs";
  return h->fell ? "frames fall" : NULL;
}

int main(int argc, char** argv) {
  static WayEngine engine;
  static Heard heard;
  const unsigned long n = argc > 1 ? strtoul(argv[1], NULL, 10) : 1000000;
  const unsigned long first = argc > 2 ? strtoul(argv[2], NULL, 10) : 1;
  const clock_t start = clock();
  make_forms();
  for (unsigned long i = 0; i < n; ++i) {
    const char* const found = session(&engine, &heard, (uint32_t)(first + i));
    if (!found) continue;
    printf("seed %lu: %s\n", first + i, found);
    return 1;
  }
  const double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
  printf(
      "%lu sessions of %d operations, %llu messages out, in %.1f s: no note hangs, no "
      "frame falls\n",
      n, OPS, (unsigned long long)heard.messages, seconds);
  return 0;
}
