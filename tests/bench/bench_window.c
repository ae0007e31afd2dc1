// What the window costs beside its host: a whole picture, and a frame of playing.
#include "../../plugin/ui/view.h"
#include "quiet_host.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define ROUNDS 200
#define STEPS 600

static double now_ms(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec * 1e3 + (double)t.tv_nsec * 1e-6;
}

static int compare(const void* a, const void* b) {
  const double x = *(const double*)a, y = *(const double*)b;
  return x < y ? -1 : x > y;
}

/// The middle and the last of some times.
static void print(const char* what, double* times, size_t n) {
  qsort(times, n, sizeof(*times), compare);
  printf("%-34s median %7.3f ms   worst %7.3f ms\n", what, times[n / 2], times[n - 1]);
}

static void step(WayModel* m, int i) {
  const WayRoleOf role = {.role = (uint8_t)(i % 3), .interval = 4, .degree = {3, 0}};
  WayNews news = {.kind = WAY_NEWS_PLACE,
                  .tick = 128 * i,
                  .speed = 0,
                  .from = WAY_CHORD_FROM_CHART};
  if (i % 15 == 0) { // four notes a second
    news.n = 3;
    news.records[0] = (WayWireRecord){.kind = WAY_WIRE_OFF, .pitch = 64};
    news.records[1] = (WayWireRecord){.kind = WAY_WIRE_ON, .pitch = 64};
    news.records[2] = (WayWireRecord){.kind = WAY_WIRE_ROLE, .pitch = 64, .role = role};
  }
  way_model_news(m, &news, i / 60.0);
}

static void measure(const char* chart, int width, int height) {
  static double times[STEPS];
  char what[64];
  WayModel* const m = quiet_model();
  WayPicture v = {.image = NULL};
  const WayNews news = {.kind = WAY_NEWS_CHART_TEXT, .text = way_text(chart)};
  if (!m) exit(1);
  way_model_news(m, &news, 0);
  for (int i = 0; i < ROUNDS; ++i) {
    step(m, i);
    const double start = now_ms();
    way_model_update(m, width, height, 0);
    memset(v.stamps, 0, sizeof(v.stamps)); // as if all had changed
    way_ui_view_paint(&v, m);
    times[i] = now_ms() - start;
  }
  snprintf(what, sizeof(what), "%dx%d, all of it", width, height);
  print(what, times + 1, ROUNDS - 1); // the first one finds the fonts
  double painted = 0;
  for (int i = 0; i < STEPS; ++i) {
    step(m, ROUNDS + i);
    const double start = now_ms();
    way_model_update(m, width, height, i / 60.0);
    const WayViewChanges c = way_ui_view_paint(&v, m);
    times[i] = now_ms() - start;
    for (unsigned k = 0; k < c.n; ++k) painted += c.boxes[k].width * c.boxes[k].height;
  }
  snprintf(what, sizeof(what), "%dx%d, a frame of playing", width, height);
  print(what, times, STEPS);
  printf("%-34s %.1f %% of the picture a frame\n", "  painted",
         100 * painted / STEPS / width / height);
  way_ui_view_clear(&v);
  way_model_free(m);
}

int main(void) {
  static const char chart[] =
      "title: Lantern Row\nkey: D major\ntempo: 92\nform: A A B A\n\n[A]\n"
      "| D | F#m | G>3 | A |\n| D/F# G | Em / / A7 | D | % |\n"
      "[B]\n|: Bm | G :| 1. A | 2. A7 |\n";
  measure(chart, 900, 420);
  measure(chart, 480, 270);
  measure(chart, 1920, 1080);
  measure(chart, 3840, 2160);
  return 0;
}
