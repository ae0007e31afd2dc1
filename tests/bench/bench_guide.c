// What the guide costs beside LV2's own example eg-fifths, in one process, by turns.
// Prints the best time of many rounds, and the median of the rounds' ratios.
//
// `bench_guide RACE (fifths|guide)` plays one round, so that a profiler can count.
#include "base/attributes.h"
#include "host.h"

#include <lv2/midi/midi.h>

#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define FIFTHS "http://lv2plug.in/plugins/eg-fifths"
#define FRAMES 64
#define EVENTS 16
#define ROUNDS 401
#define BLOCKS 2000

static double now_ns(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec * 1e9 + (double)t.tv_nsec;
}

/// A plug-in with its ports connected for good.
typedef struct {
  Host* host;
  LV2_Atom* outputs[2];
  unsigned n_outputs;
} Subject;

/// Two melodies over the chart in D: its scale, and a chromatic run in which every
/// other note resolves the one before, which is told in marks of its own.
static const uint8_t scale[] = {50, 52, 54, 55, 57, 59, 61, 62},
                     run[] = {50, 51, 52, 53, 54, 55, 56, 57};

/// Put `n` note-ons and note-offs of a melody, by turns, into the first input; none
/// into others.
static Subject subject(Host* h, const uint8_t melody[8], unsigned n) {
  Subject s = {h, {NULL, NULL}, 0};
  bool first = true;
  for (uint32_t i = 0; i < h->n_ports; ++i) {
    LV2_Atom_Sequence* const seq = h->buffers[i];
    if (!seq) continue;
    lilv_instance_connect_port(h->instance, i, seq);
    if (h->is_output[i]) {
      s.outputs[s.n_outputs++] = &seq->atom;
      continue;
    }
    LV2_Atom_Event* e = (LV2_Atom_Event*)(void*)(seq + 1);
    for (unsigned k = 0; first && k < n; ++k) {
      const uint8_t note[8] = {k % 2 ? 0x80 : 0x90, melody[k / 2 % 8], 90};
      e->time.frames = k * FRAMES / n;
      e->body = (LV2_Atom){3, host_urid(h, LV2_MIDI__MidiEvent)};
      memcpy(e + 1, note, sizeof(note));
      e = (LV2_Atom_Event*)(void*)((uint8_t*)e + sizeof(*e) + sizeof(note));
    }
    seq->atom.type = host_urid(h, LV2_ATOM__Sequence);
    seq->atom.size = (uint32_t)((uint8_t*)e - (uint8_t*)&seq->body);
    seq->body = (LV2_Atom_Sequence_Body){0, 0};
    first = false;
  }
  return s;
}

/// Nanoseconds a block.  A profiler counts what this function takes.
static WAY_NOINLINE double time_round(const Subject* s) {
  const LV2_Atom empty = {s->host->capacity, s->host->forge.Chunk};
  const double start = now_ns();
  for (unsigned i = 0; i < BLOCKS; ++i) {
    for (unsigned k = 0; k < s->n_outputs; ++k) *s->outputs[k] = empty;
    lilv_instance_run(s->host->instance, FRAMES);
  }
  return (now_ns() - start) / BLOCKS;
}

static int compare(const void* a, const void* b) {
  const double x = *(const double*)a, y = *(const double*)b;
  return x < y ? -1 : x > y;
}

/// Time both by turns, and print a line.
static void race(const char* what, const Subject* fifths, const Subject* guide,
                 unsigned per) {
  static double ours[ROUNDS], theirs[ROUNDS], ratios[ROUNDS];
  for (unsigned i = 0; i < ROUNDS; ++i) {
    theirs[i] = time_round(fifths);
    ours[i] = time_round(guide);
    ratios[i] = ours[i] / theirs[i];
  }
  qsort(ours, ROUNDS, sizeof(double), compare);
  qsort(theirs, ROUNDS, sizeof(double), compare);
  qsort(ratios, ROUNDS, sizeof(double), compare);
  printf("%-34s eg-fifths %7.2f ns   guide %7.2f ns   ratio %.2f\n", what,
         theirs[0] / per, ours[0] / per, ratios[ROUNDS / 2]);
}

/// A guide in tag mode with marks on, over a chart, rolling or not.
static Host* make_guide(bool rolling, unsigned bars) {
  Host* const h = host_guide(NULL);
  if (!h) exit(1);
  char* const chart = calloc(bars, 16);
  if (!chart) exit(1);
  size_t size = 0;
  static const char* const chords[] = {"D", "F#m7", "Gmaj7", "A7"};
  for (unsigned i = 0; i < bars; ++i)
    size += (size_t)sprintf(chart + size, "%s %s |", i % 8 ? "" : "\n|", chords[i % 4]);
  host_chart(h, chart);
  free(chart);
  *host_control(h, "tag_channel") = 1;
  const HostPosition p = host_position_at(0, 120);
  if (rolling) host_position(h, h->now, &p);
  host_run(h, FRAMES);
  return h;
}

static Host* make_fifths(void) {
  static const char* const places[] = {"/usr/lib/lv2/", "/usr/lib/*/lv2/",
                                       "/usr/local/lib/lv2/"};
  for (size_t i = 0; i < WAY_COUNT(places); ++i) {
    char pattern[256];
    glob_t found;
    snprintf(pattern, sizeof(pattern), "%seg-fifths.lv2/", places[i]);
    if (!glob(pattern, 0, NULL, &found)) {
      Host* const h = host_new(found.gl_pathv[0], FIFTHS, NULL);
      globfree(&found);
      if (h) return h;
    }
  }
  return NULL;
}

static const struct {
  const char* name;
  const uint8_t* melody;
  bool rolling;
  unsigned events, bars;
} races[] = {
    {"event, 16 in 64 frames, stopped", scale, false, EVENTS, 8},
    {"event, 16 in 64 frames, rolling", scale, true, EVENTS, 8},
    {"event, chromatic run, rolling", run, true, EVENTS, 8},
    {"event, rolling, 10,000 bars", scale, true, EVENTS, 10000},
    {"empty block, stopped", scale, false, 0, 8},
    {"empty block, rolling", scale, true, 0, 8},
    {"empty block, rolling, 10,000 bars", scale, true, 0, 10000},
};

/// One round of one race by one of the two.
static int count(unsigned which, bool ours, Host* fifths) {
  if (which >= WAY_COUNT(races)) return 1;
  Host* const h = ours ? make_guide(races[which].rolling, races[which].bars) : fifths;
  const Subject s = subject(h, races[which].melody, races[which].events);
  const unsigned per = races[which].events ? races[which].events : 1;
  time_round(&s);
  printf("%u %s\n", BLOCKS * per, races[which].name);
  if (ours) host_free(h);
  return 0;
}

int main(int argc, char** argv) {
  Host* const fifths = make_fifths();
  if (!fifths) {
    puts("eg-fifths is not installed (package lv2-examples): nothing to compare with");
    return 77;
  }
  if (argc == 3) {
    const unsigned which = (unsigned)strtoul(argv[1], NULL, 10);
    const int result = count(which, !strcmp(argv[2], "guide"), fifths);
    host_free(fifths);
    return result;
  }
  for (size_t i = 0; i < WAY_COUNT(races); ++i) {
    Host* const guide = make_guide(races[i].rolling, races[i].bars);
    const Subject theirs = subject(fifths, races[i].melody, races[i].events);
    const Subject ours = subject(guide, races[i].melody, races[i].events);
    race(races[i].name, &theirs, &ours, races[i].events ? races[i].events : 1);
    host_free(guide);
  }
  host_free(fifths);
  return 0;
}
