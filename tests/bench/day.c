// A day of practice with the plug-in, in blocks of 64 frames: `day [HOURS [SEED
// [PASSES]]]`, 24 hours if not given.  A player's phrases, bends, pedal and rests over
// a rolling, looping, stopping transport, a chord track now and then, knobs that turn,
// charts that change, forms that are learned.  No note may hang and no event lie
// outside its block.
//
// The same day is played more than once.  A block that was slow each time is slow; one
// that was slow once was interrupted by the machine, so a block counts with the least
// time it took.
#include "../../plugin/ports.h"
#include "base/attributes.h"
#include "host.h"
#include "live/settings.h"
#include "rng.h"
#include "synth.h"

#include <lv2/midi/midi.h>
#include <lv2/time/time.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define RATE 48000
#define FRAMES 64
#define PERIOD_NS (1e9 * FRAMES / RATE)
#define LOOP_MAX 32     ///< Bars of the chord track's loops
#define HELD_MAX 8      ///< Notes the player holds at once
#define SLOW_NS 1500.0  ///< Blocks slower than that are looked at in every pass
#define SLOW_MAX 400000 ///< Of these in the first pass at the most

static const char* const tunes[] = {
    "title: Lantern Row\nkey: D major\ntempo: 92\nform: A A B A\n"
    "[A]\n| D | F#m | G>3 | A |\n| D/F# G | Em / / A7 | D | % |\n[B]\n| Bm | G | A | "
    "A7 |\n",
    "title: Slack Tide\nkey: A minor\ntempo: 76\n| Am | F | Dm | E7>3 |\n| Am | F | Dm "
    "/ "
    "/ E7 | Am |\n",
    "title: Rope Walk\nkey: Bb major\ntime: 3/4\n| Bbmaj7 | Gm7 | Cm9 | F7alt |\n",
    "", // the chord track alone, whose form is learned
};

/// An input being filled.
typedef struct {
  LV2_Atom_Sequence* seq;
  LV2_URID midi;
} Input;

/// A player and a host for one pass.
typedef struct {
  Host* host;
  uint32_t rng;
  Input melody, chords;
  int64_t frame;
  uint64_t events_in, events_out;
  double bpm;
  double beat; ///< Where the transport is, in quarter notes
  bool rolls;
  int64_t next_position; ///< When the host tells the position again
  int64_t next_note, next_chord, next_turn, next_tune;
  uint8_t pitch;
  uint8_t chord[3];
  uint8_t loop[LOOP_MAX][3]; ///< The chord track's, by bar
  unsigned loop_bars;
  bool chord_held;
  struct {
    int64_t end;
    uint8_t pitch;
  } held[HELD_MAX];
  Synth heard[2]; ///< On out and marks
} Day;

static void add_midi(Day* d, Input* to, uint8_t status, uint8_t a, uint8_t b,
                     uint32_t at) {
  uint8_t* const end = (uint8_t*)&to->seq->body + to->seq->atom.size;
  LV2_Atom_Event* const e = (LV2_Atom_Event*)(void*)end;
  const uint8_t bytes[8] = {status, a, b};
  e->time.frames = at;
  e->body = (LV2_Atom){3, to->midi};
  memcpy(e + 1, bytes, sizeof(bytes));
  to->seq->atom.size += (uint32_t)(sizeof(*e) + sizeof(bytes));
  ++d->events_in;
}

static void add_position(Day* d) {
  uint8_t* const end = (uint8_t*)&d->melody.seq->body + d->melody.seq->atom.size;
  LV2_Atom_Event* const e = (LV2_Atom_Event*)(void*)end;
  LV2_Atom_Forge* const f = &d->host->forge;
  LV2_Atom_Forge_Frame object;
  e->time.frames = 0;
  lv2_atom_forge_set_buffer(f, (uint8_t*)&e->body, 512);
  lv2_atom_forge_object(f, &object, 0, host_urid(d->host, LV2_TIME__Position));
  const struct {
    const char* key;
    double value;
  } parts[] = {{LV2_TIME__beatsPerBar, 4},
               {LV2_TIME__beatUnit, 4},
               {LV2_TIME__barBeat, fmod(d->beat, 4)},
               {LV2_TIME__beatsPerMinute, d->bpm},
               {LV2_TIME__speed, d->rolls}};
  for (size_t i = 0; i < WAY_COUNT(parts); ++i) {
    lv2_atom_forge_key(f, host_urid(d->host, parts[i].key));
    lv2_atom_forge_float(f, (float)parts[i].value);
  }
  lv2_atom_forge_key(f, host_urid(d->host, LV2_TIME__bar));
  lv2_atom_forge_long(f, (int64_t)(d->beat / 4));
  lv2_atom_forge_pop(f, &object);
  d->melody.seq->atom.size +=
      (uint32_t)(sizeof(e->time) + lv2_atom_pad_size(lv2_atom_total_size(&e->body)));
}

static int64_t in_seconds(Day* d, uint32_t least, uint32_t most) {
  return d->frame + (int64_t)RATE * (least + rng_below(&d->rng, most - least));
}

/// End the held note in a place, if there is one.
static void lift(Day* d, unsigned i, uint32_t at) {
  if (!d->held[i].end) return;
  add_midi(d, &d->melody, 0x80, d->held[i].pitch, 64, at);
  d->held[i].end = 0;
}

/// Lift what ends in this block.
static void lift_due(Day* d) {
  for (unsigned i = 0; i < HELD_MAX; ++i)
    if (d->held[i].end && d->held[i].end < d->frame + FRAMES)
      lift(d, i, d->held[i].end > d->frame ? (uint32_t)(d->held[i].end - d->frame) : 0);
}

/// One note of a phrase; sometimes a double stop, a bend, a pedal, a breath.
static void play_note(Day* d) {
  static const uint8_t lengths[] = {1, 2, 2, 2, 3, 4, 4, 6}; // eighths and triplets
  const double beat = 60.0 * RATE / d->bpm;
  const int step = (int)rng_below(&d->rng, 9) - 4;
  d->pitch = (uint8_t)(d->pitch + step < 45   ? 57
                       : d->pitch + step > 88 ? 76
                                              : d->pitch + step);
  const double length = lengths[rng_below(&d->rng, WAY_COUNT(lengths))] * beat / 4;
  const unsigned n = rng_below(&d->rng, 12) ? 1 : 2;
  for (unsigned k = 0; k < n; ++k) {
    const unsigned i = rng_below(&d->rng, HELD_MAX);
    lift(d, i, FRAMES - 1);
    d->held[i].pitch = (uint8_t)(d->pitch + 4 * k);
    d->held[i].end = d->frame + FRAMES + (int64_t)(length * 0.9);
    add_midi(d, &d->melody, 0x90, d->held[i].pitch,
             (uint8_t)(40 + rng_below(&d->rng, 80)), FRAMES - 1);
  }
  if (!rng_below(&d->rng, 20))
    add_midi(d, &d->melody, 0xE0, (uint8_t)rng_below(&d->rng, 128),
             (uint8_t)(rng_below(&d->rng, 3) ? 64 : rng_below(&d->rng, 128)),
             FRAMES - 1);
  if (!rng_below(&d->rng, 40))
    add_midi(d, &d->melody, 0xB0, 64, (uint8_t)(127 * rng_below(&d->rng, 2)),
             FRAMES - 1);
  const double breath = rng_below(&d->rng, 9) ? 0 : (1 + rng_below(&d->rng, 8)) * beat;
  d->next_note = d->frame + (int64_t)(length + breath);
}

/// Another loop of chords.
static void draw_loop(Day* d) {
  static const uint8_t shapes[][3] = {{0, 4, 7}, {0, 3, 7}, {0, 4, 10}};
  d->loop_bars = 2 + rng_below(&d->rng, LOOP_MAX - 1);
  for (unsigned i = 0; i < d->loop_bars; ++i) {
    const unsigned root = 40 + rng_below(&d->rng, 12), shape = rng_below(&d->rng, 3);
    for (unsigned k = 0; k < 3; ++k) d->loop[i][k] = (uint8_t)(root + shapes[shape][k]);
  }
}

/// A triad a bar on the chord track for half of the time: loops, not always as before.
static void play_chord(Day* d) {
  for (unsigned k = 0; d->chord_held && k < 3; ++k)
    add_midi(d, &d->chords, 0x80, d->chord[k], 64, 0);
  d->chord_held = (d->frame / (int64_t)RATE / 600) % 2;
  if (!d->loop_bars || !rng_below(&d->rng, 150)) draw_loop(d);
  const unsigned bar = rng_below(&d->rng, 40) ? (unsigned)(d->beat / 4) : d->rng;
  memcpy(d->chord, d->loop[bar % d->loop_bars], sizeof(d->chord));
  for (unsigned k = 0; d->chord_held && k < 3; ++k)
    add_midi(d, &d->chords, 0x90, d->chord[k], 80, k);
  const double left = 4 - fmod(d->beat, 4); // beats to the bar line, or a bar
  d->next_chord =
      d->frame + (int64_t)((left < 0.1 ? 4 + left : left) * 60.0 * RATE / d->bpm);
}

/// Turn a knob, or the whole desk back to its defaults.
static void turn(Day* d) {
  const WaySettingRow* row = &way_setting_rows[rng_below(&d->rng, WAY_SETTING_COUNT)];
  const double part = rng_below(&d->rng, 1001) / 1000.0;
  const double value = row->least + part * (row->most - row->least);
  *host_control(d->host, row->symbol) = (float)(row->whole ? nearbyint(value) : value);
  if (!rng_below(&d->rng, 3)) {
    for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i)
      *host_control(d->host, way_setting_rows[i].symbol) =
          (float)way_setting_rows[i].standard;
    *host_control(d->host, "tag_channel") = (float)rng_below(&d->rng, 2);
  }
  d->next_turn = in_seconds(d, 5, 60);
}

/// Start, stop, locate, or go on at another tempo.
static void roll(Day* d) {
  const unsigned what = rng_below(&d->rng, 200);
  if (!d->rolls || what == 0) {
    d->rolls = !d->rolls;
    d->beat = rng_below(&d->rng, 3) ? 0 : rng_below(&d->rng, 64);
  } else if (what < 4) {
    d->beat = d->beat < 32 ? 0 : 4 * floor(d->beat / 4 - 8); // loop
  } else if (what == 4) {
    d->bpm = 50 + rng_below(&d->rng, 2000) / 10.0 + 0.037;
  }
  add_position(d);
  d->next_position = d->frame + (d->rolls ? RATE / 2 : 10 * RATE);
}

static void begin_input(Input* in) {
  in->seq->atom.size = sizeof(LV2_Atom_Sequence_Body);
}

/// Hear what an output holds.  @return Whether every event lies in the block, in order.
static bool hear(Day* d, unsigned output, const LV2_Atom_Sequence* seq, LV2_URID midi) {
  int64_t last = 0;
  LV2_ATOM_SEQUENCE_FOREACH(seq, e) {
    if (e->time.frames < last || e->time.frames >= FRAMES) return false;
    last = e->time.frames;
    ++d->events_out;
    if (e->body.type == midi)
      synth_hear(&d->heard[output], (const uint8_t*)(e + 1), e->body.size);
  }
  return true;
}

static double now_ns(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec * 1e9 + (double)t.tv_nsec;
}

/// Blocks that were slow in the first pass.
static struct {
  int64_t block;
  double least;
} slow[SLOW_MAX];
static size_t n_slow;

static void fail(const Day* d, const char* what) {
  printf("%s after %.1f s\n", what, (double)d->frame / RATE);
  exit(1);
}

static Host* start(uint32_t seed, Day* d) {
  const HostOptions options = {.deferred = true}; // work is not the block's
  Host* const h = host_guide(&options);
  if (!h) exit(1);
  host_chart(h, tunes[0]); // connects the ports, too
  *d = (Day){.host = h, .rng = seed * 2654435761u | 1, .bpm = 92.037, .pitch = 64};
  d->melody =
      (Input){h->buffers[host_port(h, "melody")], host_urid(h, LV2_MIDI__MidiEvent)};
  d->chords = (Input){h->buffers[host_port(h, "chords")], d->melody.midi};
  *host_control(h, "tag_channel") = 1;
  d->next_turn = 30 * RATE;
  d->next_tune = 900 * (int64_t)RATE;
  return h;
}

/// Hear what the host collected in blocks it ran itself.
static void hear_host(Day* d) {
  static const char* const ports[] = {"out", "marks"};
  for (unsigned i = 0; i < 2; ++i) {
    HostEvents* const rest = host_events(d->host, ports[i]);
    for (size_t k = 0; k < rest->n; ++k)
      if (rest->at[k].type == d->melody.midi)
        synth_hear(&d->heard[i], rest->at[k].body, rest->at[k].size);
    host_clear(rest);
  }
}

static void fill(Day* d) {
  begin_input(&d->melody);
  begin_input(&d->chords);
  if (d->frame >= d->next_tune) {
    // Read in this run, it is taken into use in the block that is timed next.
    host_set(d->host, d->host->now, WAY_GUIDE_URI "#chartText", LV2_ATOM__String,
             tunes[rng_below(&d->rng, WAY_COUNT(tunes))]);
    host_run(d->host, 1);
    hear_host(d);
    d->next_tune = in_seconds(d, 300, 1500);
    begin_input(&d->melody);
    begin_input(&d->chords);
  }
  if (d->frame >= d->next_position) roll(d);
  lift_due(d);
  if (d->frame >= d->next_note) play_note(d);
  if (d->frame >= d->next_chord) play_chord(d);
  if (d->frame >= d->next_turn) turn(d);
}

/// Play the day.  @return The sum of all blocks, in nanoseconds.
static double pass(uint32_t seed, int64_t blocks, unsigned which, Day* d) {
  Host* const h = start(seed, d);
  LV2_Atom_Sequence* const outputs[] = {h->buffers[host_port(h, "out")],
                                        h->buffers[host_port(h, "marks")]};
  const LV2_Atom empty = {h->capacity, h->forge.Chunk};
  double sum = 0;
  size_t known = 0;
  for (int64_t block = 0; block < blocks; ++block) {
    fill(d);
    outputs[0]->atom = outputs[1]->atom = empty;
    const double before = now_ns();
    lilv_instance_run(h->instance, FRAMES);
    const double took = now_ns() - before;
    sum += took;
    host_answer(h);
    if (!which && took > SLOW_NS && n_slow < SLOW_MAX) {
      slow[n_slow].block = block;
      slow[n_slow++].least = took;
    } else if (which && known < n_slow && slow[known].block == block) {
      if (took < slow[known].least) slow[known].least = took;
      ++known;
    }
    if (!hear(d, 0, outputs[0], d->melody.midi) ||
        !hear(d, 1, outputs[1], d->melody.midi))
      fail(d, "an event lies outside its block");
    if (d->rolls) d->beat += d->bpm * FRAMES / 60 / RATE;
    d->frame += FRAMES;
  }
  return sum;
}

/// End the pass: nothing may sound.
static void end(Day* d) {
  Host* const h = d->host;
  HostPosition stopped = host_position_at(0, 120);
  stopped.speed = 0;
  host_position(h, h->now, &stopped);
  lilv_instance_deactivate(h->instance);
  lilv_instance_activate(h->instance);
  host_run_blocks(h, RATE, FRAMES);
  hear_host(d);
  if (d->heard[0].total || d->heard[1].total) fail(d, "a note hangs");
  host_free(h);
}

int main(int argc, char** argv) {
  const double hours = argc > 1 ? atof(argv[1]) : 24;
  const uint32_t seed = argc > 2 ? (uint32_t)strtoul(argv[2], NULL, 10) : 1;
  const unsigned passes = argc > 3 ? (unsigned)strtoul(argv[3], NULL, 10) : 3;
  const int64_t blocks = (int64_t)(hours * 3600 * RATE / FRAMES);
  static Day day;
  double mean = INFINITY, worst = 0, worst_once = 0;
  for (unsigned i = 0; i < passes; ++i) {
    mean = fmin(mean, pass(seed, blocks, i, &day) / (double)blocks);
    end(&day);
    for (size_t k = 0; !i && k < n_slow; ++k)
      worst_once = fmax(worst_once, slow[k].least);
  }
  for (size_t k = 0; k < n_slow; ++k) worst = fmax(worst, slow[k].least);
  printf("%.2f hours in %lld blocks of %d frames: %llu events in, %llu out, no note "
         "hangs (seed %u)\n",
         hours, (long long)blocks, FRAMES, (unsigned long long)day.events_in,
         (unsigned long long)day.events_out, seed);
  printf("a block: mean %.0f ns, worst %.1f us, %.3f %% of its period; with "
         "interruptions %.1f us; %zu above %.1f us\n",
         mean, worst / 1e3, 100 * worst / PERIOD_NS, worst_once / 1e3, n_slow,
         SLOW_NS / 1e3);
  return 0;
}
