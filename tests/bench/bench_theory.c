// How long a chord symbol takes to be read and to be written, and how long some notes
// take to be named.
#include "theory/chord_find.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"

#include <stdio.h>
#include <time.h>

#define ROUNDS 2000u

static const char* const symbols[] = {
    "C",    "F#m",     "Bb7",    "Ebmaj7", "Am7",   "Dm7b5",     "G7",    "Abdim7",
    "C6/9", "D/F#",    "E7b9",   "A13",    "Gsus4", "Bbmaj9#11", "F#7#9", "Cadd9",
    "Dm9",  "G7b9b13", "C#m7",   "Ab/C",   "E+",    "BmMaj7",    "F11",   "Eb7alt",
    "Gm6",  "C7(b9)",  "Dbmaj7", "A7sus4", "Em",    "B7",        "Fm7",   "C5",
};

/// Notes as pitch classes above their bass: triads to thirteenths, some inverted.
static const WayPcSet sets[] = {
    0x091, 0x089, 0x121, 0x491, 0x891, 0x489, 0x449, 0x249, 0x291, 0x289,
    0x495, 0x895, 0x48D, 0x4B1, 0x0A1, 0x085, 0x111, 0x309, 0x229, 0x493,
    0x499, 0x4D5, 0x695, 0x411, 0x411, 0x295, 0x095, 0x889, 0x081, 0x007,
};

static double now_ns(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return 1e9 * (double)t.tv_sec + (double)t.tv_nsec;
}

static WayText texts[WAY_COUNT(symbols)];
static WayChord chords[WAY_COUNT(symbols)];

static unsigned read_all(void) {
  unsigned sum = 0;
  for (size_t i = 0; i < WAY_COUNT(symbols); ++i) {
    sum += (unsigned)way_chord_read(texts[i], &chords[i], NULL);
    sum += chords[i].n_tones;
  }
  return sum;
}

static unsigned write_all(void) {
  unsigned sum = 0;
  char text[WAY_SYMBOL_MAX];
  for (size_t i = 0; i < WAY_COUNT(symbols); ++i) {
    WayOut out = way_out(text, sizeof(text));
    way_chord_write(&chords[i], &out);
    sum += (unsigned)out.size;
  }
  return sum;
}

static unsigned name_all(void) {
  unsigned sum = 0;
  char text[WAY_SYMBOL_MAX];
  for (size_t i = 0; i < WAY_COUNT(sets); ++i) {
    WayFound found[WAY_FOUND_MAX];
    if (!way_chord_find(sets[i], 0, NULL, found)) continue;
    WayOut out = way_out(text, sizeof(text));
    way_chord_write(&found[0].chord, &out);
    sum += (unsigned)out.size;
  }
  return sum;
}

/// Nanoseconds an item, the best of some rounds.
static double best_of(unsigned (*work)(void), size_t items, unsigned* sum) {
  double best = 1e12;
  for (unsigned i = 0; i < ROUNDS; ++i) {
    const double from = now_ns();
    *sum += work();
    const double took = (now_ns() - from) / (double)items;
    if (took < best) best = took;
  }
  return best;
}

int main(void) {
  unsigned sum = 0; // printed, so that no work can be left out
  for (size_t i = 0; i < WAY_COUNT(symbols); ++i) texts[i] = way_text(symbols[i]);
  const double reading = best_of(read_all, WAY_COUNT(symbols), &sum);
  const double writing = best_of(write_all, WAY_COUNT(symbols), &sum);
  const double naming = best_of(name_all, WAY_COUNT(sets), &sum);
  printf("chord symbol read: %.1f ns\n", reading);
  printf("chord symbol written: %.1f ns\n", writing);
  printf("name from notes: %.1f ns\n", naming);
  printf("(check sum %u)\n", sum);
  return 0;
}
