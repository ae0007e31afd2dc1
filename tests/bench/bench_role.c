// How long it takes to tell a pitch's role, beside the same loop without the question;
// and to work out a whole harmony.
#include "theory/chord_read.h"
#include "theory/harmony.h"

#include <stdio.h>
#include <time.h>

#define PITCHES 4096u
#define ROUNDS 5000u

static double now_ns(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return 1e9 * (double)t.tv_sec + (double)t.tv_nsec;
}

static uint8_t pitches[PITCHES];

// Nanoseconds a pitch, the best of some rounds; `sum` keeps the work from being left
// out.
static double best_of(unsigned (*work)(const WayHarmony*), const WayHarmony* h,
                      unsigned* sum) {
  double best = 1e9;
  for (unsigned i = 0; i < ROUNDS; ++i) {
    const double from = now_ns();
    *sum += work(h);
    const double took = (now_ns() - from) / PITCHES;
    if (took < best) best = took;
  }
  return best;
}

static unsigned only_read(const WayHarmony* h) {
  unsigned sum = h->roles[0].role;
  for (unsigned i = 0; i < PITCHES; ++i) sum = (sum ^ pitches[i]) * 3;
  return sum;
}

static unsigned ask_role(const WayHarmony* h) {
  unsigned sum = 0;
  for (unsigned i = 0; i < PITCHES; ++i)
    sum = (sum ^ way_harmony_role(h, pitches[i]).role) * 3;
  return sum;
}

int main(void) {
  uint32_t seed = 1;
  for (unsigned i = 0; i < PITCHES; ++i) {
    seed = seed * 1664525u + 1013904223u;
    pitches[i] = (uint8_t)(seed >> 25);
  }
  WayChord chord;
  if (way_chord_read(way_text("E7b9"), &chord, NULL)) return 1;
  const WayKey key = {{5, 0}, WAY_MODE_MINOR};
  const WayHarmony h = way_harmony(&chord, key, NULL);
  unsigned sum = 0;
  const double without = best_of(only_read, &h, &sum);
  const double with = best_of(ask_role, &h, &sum);
  const double from = now_ns();
  for (unsigned i = 0; i < 1000; ++i) {
    chord.root.letter = (int8_t)(i % 7);
    sum += way_harmony(&chord, key, NULL).roles[0].role;
  }
  const double harmony = (now_ns() - from) / 1000;
  printf("role of a pitch      %8.2f ns\n", with);
  printf("the loop without it  %8.2f ns   ratio %.2f\n", without, with / without);
  printf("a whole harmony      %8.0f ns\n", harmony);
  return sum == 0; // never: it only keeps the work from being left out
}
