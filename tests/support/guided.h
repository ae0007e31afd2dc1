// An engine with a chart and a tape, and short ways to play with them.
//
// Charts of 4/4 bars with a chord a bar.  At 3840 ticks a quarter and one tick a frame
// a frame number can be read as a place.
#ifndef WAY_TESTS_GUIDED_H
#define WAY_TESTS_GUIDED_H

#include "check.h"
#include "live/engine.h"
#include "tape.h"
#include "theory/chord_read.h"

#include <stdio.h>

enum { BEAT = WAY_TICKS_PER_QUARTER, BAR = 4 * BEAT, BARS_MAX = 8 };

/// A chart, laid out.
typedef struct {
  WayTimeline timeline;
  WayHarmony harmonies[BARS_MAX];
  WaySpan spans[BARS_MAX];
  WayBar bars[BARS_MAX];
  WaySection section;
} Form;

/// A form in C major of these chords, separated by blanks; `>3` behind a chord plans
/// its landing on the third.
static inline void form_make(Form* f, const char* chords) {
  memset(f, 0, sizeof(*f));
  const WayKey key = {{0, 0}, WAY_MODE_MAJOR};
  const WayLoopScales loop = way_material_of_key(key);
  const WayLoopPcs loop_pcs = way_material_pcs(&loop);
  uint32_t n = 0;
  for (const char* c = chords; *c; ++n) {
    const size_t size = strcspn(c, " >");
    WayChord chord;
    assert_int_equal(way_chord_read((WayText){c, size}, &chord, NULL), WAY_OK);
    f->harmonies[n] = way_harmony(&chord, key, &loop_pcs);
    f->spans[n] = (WaySpan){n * BAR, n, {0, 0}, (uint8_t)(60 + n)};
    f->bars[n] = (WayBar){n * BAR, {4, 4}, 0};
    c += size;
    if (*c == '>') {
      f->spans[n].target = (WayDegree){(int8_t)(c[1] - '0'), 0};
      c += 2;
    }
    c += strspn(c, " ");
  }
  f->timeline = (WayTimeline){.length = n * BAR,
                              .key = key,
                              .loop = loop,
                              .loop_pcs = loop_pcs,
                              .tempo = 120,
                              .n_spans = n,
                              .n_bars = n,
                              .n_sections = 1,
                              .n_harmonies = n,
                              .spans = f->spans,
                              .bars = f->bars,
                              .sections = &f->section,
                              .harmonies = f->harmonies};
}

// What is played with: each test file has its own.
static Form form;
static Tape tape;
static WaySink sink;
static WayEngine engine;
static WaySettings settings;

/// Begin anew, as a cmocka setup.
static inline int start(void** state) {
  (void)state;
  tape_start(&tape);
  sink = tape_sink(&tape);
  settings = way_settings_default();
  way_engine_init(&engine, 48000);
  return 0;
}

/// Use the settings as they are now.
static inline void use(void) { way_engine_set(&engine, &settings, 0, &sink); }

/// Follow a chart of these chords, as for form_make().
static inline void chart(const char* chords) {
  form_make(&form, chords);
  way_engine_chart(&engine, &form.timeline, 0, &sink);
}

/// The transport is at `tick` and goes on at `speed` ticks a frame.
static inline void roll(int64_t frame, double tick, double speed) {
  const WayClock clock = {frame, tick, speed};
  way_engine_transport(&engine, &clock, &sink);
}

/// One message of three bytes.
static inline void send(WayInput input, int64_t frame, unsigned a, unsigned b,
                        unsigned c) {
  const uint8_t bytes[3] = {(uint8_t)a, (uint8_t)b, (uint8_t)c};
  way_engine_midi(&engine, input, frame, bytes, 3, &sink);
}

/// A key of the melody goes down on channel 1.
static inline void on(int64_t frame, unsigned pitch) {
  send(WAY_INPUT_MELODY, frame, 0x90, pitch, 100);
}
/// It goes up.
static inline void off(int64_t frame, unsigned pitch) {
  send(WAY_INPUT_MELODY, frame, 0x80, pitch, 64);
}

/// Append what went out to a text: `240:90.60 ` a message.
static inline const char* sent(void) {
  static char text[1024];
  WayOut out = way_out(text, sizeof(text));
  for (unsigned i = 0; i < tape.n_messages; ++i) {
    const TapeMessage* const m = &tape.messages[i];
    char one[64];
    snprintf(one, sizeof(one), "%lld:%02X.%d ", (long long)m->frame, m->bytes[0],
             m->bytes[1]);
    way_out_str(&out, one);
  }
  tape.n_messages = 0;
  return text;
}

/// The marks since the last call: frame, then the text of the mark, separated by `; `.
static inline const char* marked(void) {
  static char text[2048];
  WayOut out = way_out(text, sizeof(text));
  for (unsigned i = 0; i < tape.n_marks; ++i) {
    if (i) way_out_str(&out, "; ");
    way_out_int(&out, tape.marks[i].frame);
    way_out_char(&out, ' ');
    way_mark_write(&tape.marks[i], &out);
  }
  tape.n_marks = 0;
  return text;
}

/// Strike keys, or lift them, by a status byte.
static inline void hear_chord(WayInput input, int64_t frame, unsigned status,
                              const char* pitches) {
  for (; *pitches; ++pitches) send(input, frame, status, (uint8_t)*pitches, 100);
}

/// Chords come by the chord track.
static inline void track(void) {
  settings.source = WAY_SOURCE_TRACK;
  use();
}

#endif
