// How long it takes to make a hand-out of eight pages, and to write it as each kind of
// file.
#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "draw/sheet_paint.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define ROUNDS 9
#define PAGES 8u
#define BUDGET_MS 1000.0

// Every chord is another, so that each has its diagrams.
static const char tune[] =
    "title: Breakwater\nkey: Bb major\ntempo: 120\nform: A A B A\n[A]\n"
    "| Cm7 | F7 | Bbmaj7 | Gm7 |\n| Em7b5 | A7b9 | Dm7 | G7b9 |\n"
    "[B]\n| Fm7 | Bb7 | Ebmaj7 | Ab7 |\n| Ebm7 | Db7 | Gbmaj7 | Cm7 F7sus4 |\n"
    "| C7 | D7 | Am7 D7b9 | G7 Ebm6 |\n";

static double now_ms(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

/// Write a sheet of the tune once.  @return Milliseconds; negative if it failed.
static double once(const WaySheetLook* look, WayCanvasKind kind, uint32_t* pages) {
  WayChart* chart = NULL;
  WayTimeline* form = NULL;
  WaySheet* sheet = NULL;
  WayError error;
  char* bytes = NULL;
  size_t size = 0;
  const double from = now_ms();
  const bool done = !way_chart_read(way_text(tune), &chart, &error) &&
                    !way_chart_unroll(chart, &form) &&
                    !way_sheet_new(chart, form, look, &sheet) &&
                    !way_sheet_write(sheet, 0, kind, &bytes, &size);
  const double ms = now_ms() - from;
  if (done) *pages = sheet->n_pages;
  free(bytes);
  way_sheet_free(sheet);
  way_timeline_free(form);
  way_chart_free(chart);
  return done ? ms : -1;
}

int main(void) {
  static const struct {
    const char* name;
    WayCanvasKind kind;
  } kinds[] = {
      {"PDF", WAY_CANVAS_PDF}, {"SVG", WAY_CANVAS_SVG}, {"PNG", WAY_CANVAS_PNG}};
  const WaySheetLook look = {
      .frets = way_fretboard_default(), .all_positions = true, .large = true};
  for (size_t i = 0; i < WAY_COUNT(kinds); ++i) {
    uint32_t pages = 0;
    double least = 1e9, most = 0, first = 0;
    for (int round = 0; round < ROUNDS; ++round) {
      const double ms = once(&look, kinds[i].kind, &pages);
      if (ms < 0) return 1;
      if (!round) first = ms;
      if (ms < least) least = ms;
      if (ms > most) most = ms;
    }
    printf("%s of %2u pages: first %6.1f ms  least %6.1f ms  most %6.1f ms\n",
           kinds[i].name, pages, first, least, most);
    if (pages < PAGES) return 1;
    if (kinds[i].kind == WAY_CANVAS_PDF && most > BUDGET_MS) return 1;
  }
  return 0;
}
