// A melody, its chart and its fit, for tests.
#ifndef WAY_TESTS_FIT_CASE_H
#define WAY_TESTS_FIT_CASE_H

#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"
#include "take/fit.h"
#include "take/smf_read.h"
#include "take/smf_write.h"

#include <stdlib.h>

/// A file of one track, 96 ticks a quarter note, and what a fit needs beside it.
typedef struct {
  WaySmf* made;
  uint8_t* bytes;
  size_t size;
  WaySmf* smf; // read back, so that events have places
  WayTimeline* chart;
  WayFitChoice choice;
  WayFit* fit;
} FitCase;

/// Begin with a chart and no notes.  To be ended by fit_case_end().
static inline FitCase fit_case_new(const char* text) {
  FitCase c = {.made = way_smf_new(1, 96), .choice = way_fit_choice_default()};
  assert_non_null(way_smf_add_track(c.made));
  WayChart* const chart = chart_of(text);
  assert_int_equal(way_chart_unroll(chart, &c.chart), WAY_OK);
  way_chart_free(chart);
  c.choice.chart = c.chart;
  return c;
}

/// Add a message at a tick of the file.
static inline void fit_case_add(FitCase* c, uint64_t tick, uint8_t status, uint8_t a,
                                uint8_t b) {
  assert_int_equal(way_smf_add(c->made, 0, tick, (const uint8_t[]){status, a, b}, 3),
                   WAY_OK);
}

/// A note on a channel (0..15), placed in eighths.
static inline void fit_case_note(FitCase* c, uint8_t channel, unsigned from,
                                 unsigned to, uint8_t key) {
  fit_case_add(c, from * 48u, (uint8_t)(0x90 | channel), key, 80);
  fit_case_add(c, to * 48u, (uint8_t)(0x80 | channel), key, 0);
}

/// Fit what was added.
static inline void fit_case_fit(FitCase* c) {
  free(c->bytes);
  way_smf_free(c->smf);
  way_fit_free(c->fit);
  assert_int_equal(way_smf_sort(c->made), WAY_OK);
  assert_int_equal(way_smf_write(c->made, &c->bytes, &c->size), WAY_OK);
  assert_int_equal(way_smf_read(c->bytes, c->size, &c->smf, NULL), WAY_OK);
  WayError e = {.status = WAY_OK};
  if (way_fit_new(c->bytes, c->smf, &c->choice, &c->fit, &e)) fail_msg("%s", e.message);
}

/// Free all of it.
static inline void fit_case_end(FitCase* c) {
  way_fit_free(c->fit);
  way_smf_free(c->smf);
  way_smf_free(c->made);
  way_timeline_free(c->chart);
  free(c->bytes);
}

#endif
