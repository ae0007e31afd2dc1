// Charts and takes written out in a test.
#ifndef WAY_TESTS_PLAYED_H
#define WAY_TESTS_PLAYED_H

#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "check.h"
#include "take/review.h"

#include <math.h>
#include <stdlib.h>

/// A note of a take, in quarter notes.
typedef struct {
  double start, length;
  int pitch;
} Played;

static inline WayTimeline* timeline_of(const char* chart_text) {
  WayChart* chart = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  if (way_chart_read(way_text(chart_text), &chart, &e)) fail_msg("%s", e.message);
  WayTimeline* timeline = NULL;
  assert_int_equal(way_chart_unroll(chart, &timeline), WAY_OK);
  way_chart_free(chart);
  return timeline;
}

static inline WayTake* take_played(const Played* notes, uint32_t n) {
  WayTake* const take = calloc(1, sizeof(*take));
  assert_non_null(take);
  take->notes = calloc(n + 1, sizeof(*take->notes));
  assert_non_null(take->notes);
  take->n = n;
  for (uint32_t i = 0; i < n; ++i)
    take->notes[i] =
        (WayNote){.start = llround(notes[i].start * WAY_TICKS_PER_QUARTER),
                  .length = llround(notes[i].length * WAY_TICKS_PER_QUARTER),
                  .pitch = (uint8_t)notes[i].pitch,
                  .key = (uint8_t)notes[i].pitch,
                  .velocity = 100};
  return take;
}

/// A review with all it borrows.
typedef struct {
  WayTimeline* timeline;
  WayTake* take;
  WayReview* review;
} Reviewed;

/// `origin` and `early` in quarter notes.
static inline Reviewed reviewed(const char* chart, double origin, double early,
                                const Played* notes, uint32_t n) {
  Reviewed r = {timeline_of(chart), take_played(notes, n), NULL};
  assert_int_equal(way_review_new(r.take, r.timeline,
                                  llround(origin * WAY_TICKS_PER_QUARTER),
                                  llround(early * WAY_TICKS_PER_QUARTER), &r.review),
                   WAY_OK);
  return r;
}
#define REVIEWED(chart, origin, early, ...)                                            \
  reviewed(chart, origin, early, (const Played[]){__VA_ARGS__},                        \
           WAY_COUNT(((const Played[]){__VA_ARGS__})))

static inline void reviewed_free(Reviewed r) {
  way_review_free(r.review);
  way_take_free(r.take);
  way_timeline_free(r.timeline);
}

#endif
