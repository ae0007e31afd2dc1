// How long it takes to paint the screen: all of it, and what changes from frame to
// frame.
#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "draw/screen_paint.h"
#include "screen_model.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define ROUNDS 200
#define FRAME 64 // ticks between frames: 60 frames a second at 60 beats a minute

static const char tune[] =
    "title: Lantern Row\nkey: D major\ntempo: 92\nform: A A B A\n[A]\n"
    "| D | F#m | G>3 | A |\n| D/F# G | Em / / A7 | D | % |\n"
    "[B]\n|: Bm | G :| 1. A | 2. A7 |\n";

static double now_ms(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

/// What each frame of one size costs, in milliseconds.
typedef struct {
  double ms[ROUNDS];
  int n;
} Cost;

static void count(Cost* c, double ms) { c->ms[c->n++] = ms; }

static int compare(const void* a, const void* b) {
  const double x = *(const double*)a, y = *(const double*)b;
  return (x > y) - (x < y);
}

static void print(const char* what, int width, int height, Cost* c) {
  qsort(c->ms, (size_t)c->n, sizeof(*c->ms), compare);
  printf("%-20s %4dx%-4d  least %6.2f ms  median %6.2f ms  most %6.2f ms\n", what,
         width, height, c->ms[0], c->ms[c->n / 2], c->ms[c->n - 1]);
}

/// Regions whose stamps are new.
static unsigned changed(const State* s, const WayScreenLayout* l, uint64_t* stamps) {
  uint64_t fresh[WAY_REGION_COUNT];
  unsigned regions = 0;
  way_screen_stamps(&s->model, l, fresh);
  for (unsigned r = 0; r < WAY_REGION_COUNT; ++r) {
    if (fresh[r] != stamps[r]) regions |= 1u << r;
    stamps[r] = fresh[r];
  }
  return regions;
}

static void measure(const WayTimeline* t, int width, int height) {
  static const char* const names[WAY_REGION_COUNT] = {
      "header", "now", "next", "ribbon", "instrument", "trail", "items"};
  cairo_surface_t* const surface =
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
  cairo_t* const cr = cairo_create(surface);
  static Cost whole, part, look, regions[WAY_REGION_COUNT];
  whole.n = part.n = look.n = 0;
  for (unsigned r = 0; r < WAY_REGION_COUNT; ++r) regions[r].n = 0;
  uint64_t stamps[WAY_REGION_COUNT] = {0};
  State s;
  state_fill(&s, t, 2);
  s.model.look = way_screen_look_default();
  s.model.n_trail = 24;
  for (int i = 0; i < ROUNDS; ++i) {
    way_screen_follow(&s.model, t, s.model.tick + FRAME);
    WayScreenLayout l = way_screen_layout(&s.model, width, height);
    double from = now_ms();
    way_screen_paint(cr, &s.model, &l, WAY_REGIONS_ALL);
    count(&whole, now_ms() - from);
    for (unsigned r = 0; r < WAY_REGION_COUNT; ++r) {
      from = now_ms();
      way_screen_paint(cr, &s.model, &l, 1u << r);
      count(&regions[r], now_ms() - from);
    }
    way_screen_follow(&s.model, t, s.model.tick + FRAME);
    from = now_ms();
    l = way_screen_layout(&s.model, width, height);
    const unsigned fresh = changed(&s, &l, stamps);
    count(&look, now_ms() - from);
    way_screen_paint(cr, &s.model, &l, fresh);
    count(&part, now_ms() - from);
  }
  print("all", width, height, &whole);
  print("frame: what changed", width, height, &part);
  print("frame: looking", width, height, &look);
  for (unsigned r = 0; r < WAY_REGION_COUNT; ++r)
    print(names[r], width, height, &regions[r]);
  cairo_destroy(cr);
  cairo_surface_destroy(surface);
}

int main(void) {
  WayChart* chart = NULL;
  WayTimeline* t = NULL;
  WayError error;
  if (way_chart_read(way_text(tune), &chart, &error) || way_chart_unroll(chart, &t))
    return 1;
  static const int sizes[][2] = {{480, 270}, {900, 420}, {1920, 1080}, {3840, 2160}};
  for (size_t i = 0; i < WAY_COUNT(sizes); ++i) measure(t, sizes[i][0], sizes[i][1]);
  way_timeline_free(t);
  way_chart_free(chart);
  return 0;
}
