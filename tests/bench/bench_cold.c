// What a block costs that brings something for the first time in minutes, when other
// programs have had the caches, beside the same block warm: `bench_cold`.
//
// `bench_cold CASE ROUNDS` runs one of them warm, so that a profiler can count.
#include "../../plugin/ports.h"
#include "base/attributes.h"
#include "host.h"
#include "live/settings.h"

#include <lv2/atom/atom.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define RATE 48000
#define FRAMES 64
#define PERIOD_NS (1e9 * FRAMES / RATE)
#define ROUNDS 61
#define CACHE_LINE 64
#define CACHES ((size_t)64 << 20) ///< More than all of them hold

static const char chart[] = "key: C major\n| C | Am | F | G7>3 |\n",
                  other_chart[] = "key: A minor\n| Am | F | Dm / / E7 | Am |\n";

static double took; ///< The last block, in nanoseconds
static unsigned runs;
static bool cold;

static double now_ns(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec * 1e9 + (double)t.tv_nsec;
}

/// Leave nothing of the guide in any cache.
static void empty_caches(void) {
  static volatile char* rest;
  if (!rest) rest = calloc(CACHES, 1);
  for (size_t i = 0; rest && i < CACHES; i += CACHE_LINE) ++rest[i];
}

/// The block that is measured; a profiler counts what this function takes.
static WAY_NOINLINE void measured(LilvInstance* instance, uint32_t n_frames) {
  lilv_instance_run(instance, n_frames);
  ++runs; // so that this function ends after the block
}

static void run_timed(LilvInstance* instance, uint32_t n_frames) {
  if (cold) empty_caches();
  const double start = now_ns();
  measured(instance, n_frames);
  took = now_ns() - start;
}

static void rest(Host* h) { host_run_blocks(h, RATE / 10, FRAMES); }

/// Three keys, a frame apart; a round later they go up.
static void chord(Host* h, unsigned round) {
  const uint8_t root = (uint8_t)(48 + round * 5 % 12);
  static const uint8_t shape[] = {0, 4, 7};
  for (unsigned i = 0; i < 3; ++i) {
    host_midi(h, "chords", h->now + i, 0x90, (uint8_t)(root + shape[i]), 90);
    host_midi(h, "chords", h->now + FRAMES + i, 0x80, (uint8_t)(root + shape[i]), 64);
  }
}

static void note(Host* h, unsigned round) {
  const uint8_t pitch = (uint8_t)(60 + round % 12);
  host_midi(h, "melody", h->now, 0x90, pitch, 90);
  host_midi(h, "melody", h->now + FRAMES, 0x80, pitch, 64);
}

static void chord_and_note(Host* h, unsigned round) {
  chord(h, round);
  note(h, round);
}

/// The worker reads a chart in the block before; this one takes it in use.
static void new_chart(Host* h, unsigned round) {
  host_set(h, h->now, WAY_GUIDE_URI "#chartText", LV2_ATOM__String,
           round % 2 ? chart : other_chart);
  host_run(h, 1);
}

static void locate(Host* h, unsigned round) {
  const HostPosition p = host_position_at(4 * (round % 4), 92.037);
  host_position(h, h->now, &p);
}

/// Every control by turns at its default and at its least.
static void all_knobs(Host* h, unsigned round) {
  for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i)
    *host_control(h, way_setting_rows[i].symbol) =
        (float)(round % 2 ? way_setting_rows[i].least : way_setting_rows[i].standard);
  *host_control(h, "enabled") = 1;
  note(h, round); // a block that brings something looks at once
}

static const struct {
  const char *what, *chart;
  void (*act)(Host* h, unsigned round);
} cases[] = {
    {"a note over a chart", chart, note},
    {"a jump of the transport", chart, locate},
    {"a chord heard, no chart", "", chord},
    {"a chord heard beside a chart", chart, chord},
    {"a chord and a note", "", chord_and_note},
    {"another chart is taken in use", chart, new_chart},
    {"every knob turned, and a note", chart, all_knobs},
};

static int compare(const void* a, const void* b) {
  const double x = *(const double*)a, y = *(const double*)b;
  return x < y ? -1 : x > y;
}

/// One block after a rest.
static void play(Host* h, unsigned which, unsigned round) {
  rest(h);
  cases[which].act(h, round);
  h->options.run = run_timed;
  host_run(h, FRAMES);
  h->options.run = NULL;
}

/// Half of the rounds took no more than this.
static double median(Host* h, unsigned which, bool with_empty_caches) {
  double times[ROUNDS];
  cold = with_empty_caches;
  for (unsigned i = 0; i < ROUNDS; ++i) {
    play(h, which, i);
    times[i] = took;
  }
  qsort(times, ROUNDS, sizeof(*times), compare);
  return times[ROUNDS / 2];
}

static Host* start(unsigned which) {
  const HostOptions options = {.deferred = true};
  Host* const h = host_guide(&options);
  if (!h) exit(1);
  host_chart(h, cases[which].chart);
  *host_control(h, "tag_channel") = 1;
  const HostPosition p = host_position_at(0, 92.037);
  host_position(h, h->now, &p);
  return h;
}

/// One case, warm.
static int count(unsigned which, unsigned rounds) {
  if (which >= WAY_COUNT(cases)) return 1;
  Host* const h = start(which);
  for (unsigned r = 0; r < rounds; ++r) play(h, which, r);
  printf("%u %s\n", rounds, cases[which].what);
  host_free(h);
  return 0;
}

int main(int argc, char** argv) {
  if (argc == 3)
    return count((unsigned)strtoul(argv[1], NULL, 10),
                 (unsigned)strtoul(argv[2], NULL, 10));
  printf("a block of %d frames is %.0f us; the median of %d, caches emptied before\n",
         FRAMES, PERIOD_NS / 1e3, ROUNDS);
  for (unsigned i = 0; i < WAY_COUNT(cases); ++i) {
    Host* const h = start(i);
    const double warm = median(h, i, false), empty = median(h, i, true);
    printf("%-32s %5.2f us, %.2f %% of the block; warm %5.2f us\n", cases[i].what,
           empty / 1e3, 100 * empty / PERIOD_NS, warm / 1e3);
    host_free(h);
  }
  return 0;
}
