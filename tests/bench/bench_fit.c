// How long it takes to fit 100,000 and 1,000,000 notes to a chart, and to make a
// backing of 100 choruses.
#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "take/backing.h"
#include "take/fit.h"
#include "take/smf_read.h"
#include "take/smf_write.h"

#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double now_ms(void) {
  struct timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t); // others may be at work

  return 1e3 * (double)t.tv_sec + (double)t.tv_nsec / 1e6;
}

static const char text[] =
    "key: D major\nform: A A B A\n"
    "[A]\n| D | F#m | G>3 | A |\n| D/F# G | Em / / A7 | D | % |\n"
    "[B]\n|: Bm | G :| 1. A | 2. A7 |\n";

/// A wandering melody of eighth notes.
static WaySmf* melody(uint32_t n) {
  WaySmf* const smf = way_smf_new(1, 96);
  if (!smf || !way_smf_add_track(smf)) abort();
  uint32_t rng = 1;
  int pitch = 67;
  for (uint32_t i = 0; i < n; ++i) {
    rng = rng * 1664525u + 1013904223u;
    pitch += (int)(rng >> 24) % 9 - 4;
    if (pitch < 48 || pitch > 84) pitch = 67;
    const uint8_t on[] = {0x90, (uint8_t)pitch, 80}, off[] = {0x80, (uint8_t)pitch, 0};
    if (way_smf_add(smf, 0, 48 * (uint64_t)i, on, 3) ||
        way_smf_add(smf, 0, 48 * (uint64_t)i + 44, off, 3))
      abort();
  }
  return smf;
}

/// A melody as a file, and the least time it has taken to fit so far.
typedef struct {
  uint8_t* bytes;
  WaySmf* smf;
  double best; ///< Milliseconds
} Sketch;

static Sketch sketch(uint32_t n) {
  Sketch s = {.best = 1e12};
  WaySmf* const made = melody(n);
  size_t size = 0;
  if (way_smf_write(made, &s.bytes, &size) || way_smf_read(s.bytes, size, &s.smf, NULL))
    abort();
  way_smf_free(made);
  return s;
}

static void time_fit(const WayTimeline* t, WayMaterial material, Sketch* s) {
  WayFitChoice choice = way_fit_choice_default();
  choice.chart = t;
  choice.material = material;
  WayFit* fit = NULL;
  const double from = now_ms();
  if (way_fit_new(s->bytes, s->smf, &choice, &fit, NULL)) abort();
  const double took = now_ms() - from;
  if (took < s->best) s->best = took;
  way_fit_free(fit);
}

/// Fit a short and a long melody in turn, so that both meet the same company on the
/// machine; whether the long one takes more than 11 times as long.
static bool compare_fits(const WayTimeline* t, WayMaterial material) {
  Sketch few = sketch(100000), many = sketch(1000000);
  for (int round = 0; round < 5; ++round) {
    for (int i = 0; i < 3; ++i) time_fit(t, material, &few);
    time_fit(t, material, &many);
  }
  printf("fit, %s: 10^5 notes %.0f ms, 10^6 notes %.0f ms: %.1f times\n",
         way_material_name(material), few.best, many.best, many.best / few.best);
  way_smf_free(few.smf);
  way_smf_free(many.smf);
  free(few.bytes);
  free(many.bytes);
  return many.best > 11 * few.best;
}

/// Milliseconds to make and write a backing of 100 choruses, the best of three.
static double time_backing(const WayChart* chart, const WayTimeline* t, size_t* size) {
  WayBackingChoice choice = way_backing_default();
  choice.choruses = 100;
  double best = 1e12;
  for (int i = 0; i < 3; ++i) {
    WaySmf* smf = NULL;
    uint8_t* bytes = NULL;
    const double from = now_ms();
    if (way_backing_new(chart, t, &choice, NULL, &smf) ||
        way_smf_write(smf, &bytes, size))
      abort();
    const double took = now_ms() - from;
    if (took < best) best = took;
    way_smf_free(smf);
    free(bytes);
  }
  return best;
}

int main(void) {
  // Memory comes fresh from the system each time, as in a program that fits one file.
  mallopt(M_MMAP_THRESHOLD, 1 << 17);
  WayChart* chart = NULL;
  WayTimeline* t = NULL;
  if (way_chart_read(way_text(text), &chart, NULL) || way_chart_unroll(chart, &t))
    abort();
  int late = 0;
  static const WayMaterial materials[] = {WAY_MATERIAL_CHORD_SCALE, WAY_MATERIAL_TRIAD};
  for (size_t i = 0; i < WAY_COUNT(materials); ++i)
    late |= compare_fits(t, materials[i]);
  size_t size = 0;
  const double took = time_backing(chart, t, &size);
  printf("backing: 100 choruses of %u bars %.1f ms, %.0f KiB\n", t->n_bars, took,
         (double)size / 1024);
  late |= took > 50;
  way_timeline_free(t);
  way_chart_free(chart);
  return late;
}
