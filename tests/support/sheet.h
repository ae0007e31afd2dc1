// Sheets in tests.
#ifndef WAY_TESTS_SHEET_H
#define WAY_TESTS_SHEET_H

#include "canvas.h"
#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "draw/sheet_paint.h"
#include "draw/sheet_pen.h"

#define LANTERN_ROW                                                                    \
  "title: Lantern Row\nkey: D major\ntempo: 92\nform: A A B A\n[A]\n"                  \
  "| D | F#m | G>3 | A |\n| D/F# G | Em / / A7 | D | % |\n"                            \
  "[B]\n|: Bm | G :| 1. A | 2. A7 |\n"

/// A sheet and what it is made of.
typedef struct {
  WayChart* chart;
  WayTimeline* form;
  WaySheet* sheet;
} Sheet;

static inline WaySheetLook plain_look(void) {
  return (WaySheetLook){.frets = way_fretboard_default()};
}

static inline Sheet sheet_of(const char* text, WaySheetLook look) {
  Sheet s = {.chart = chart_of(text)};
  assert_int_equal(way_chart_unroll(s.chart, &s.form), WAY_OK);
  assert_int_equal(way_sheet_new(s.chart, s.form, &look, &s.sheet), WAY_OK);
  return s;
}

static inline void sheet_free(Sheet s) {
  way_sheet_free(s.sheet);
  way_timeline_free(s.form);
  way_chart_free(s.chart);
}

/// A page as a picture.
static inline Canvas page_of(const WaySheet* s, uint32_t page) {
  const Canvas c = canvas_of((int)(s->width * s->scale), (int)(s->height * s->scale),
                             (WayColour){1, 1, 1});
  way_sheet_paint(c.cr, s, page);
  return c;
}

/// One block alone, its top left corner at 0, 0.
static inline Canvas block_of(const WaySheet* s, uint32_t index,
                              void (*paint)(const WaySheetPen*, const WayBlock*)) {
  WayBlock b = s->blocks[index];
  b.box.x = b.box.y = 0;
  const Canvas c =
      canvas_of((int)b.box.width + 2, (int)b.box.height + 2, (WayColour){1, 1, 1});
  const WaySheetPen pen = {c.cr, s, way_sheet_theme(s->look.mono)};
  paint(&pen, &b);
  return c;
}

/// The first block of a kind.
static inline uint32_t block_at(const WaySheet* s, WayBlockKind kind) {
  uint32_t i = 0;
  while (i < s->n_blocks && s->blocks[i].kind != kind) ++i;
  assert_true(i < s->n_blocks);
  return i;
}

/// Whether a picture has any ink in a box.
static inline bool has_ink(const Canvas* c, double x, double y, double width,
                           double height) {
  return canvas_count(c, x, y, width, height, (WayColour){1, 1, 1}) <
         (int)width * (int)height;
}

/// How many things stand side by side in a box, at least `gap` apart.
static inline int things_apart(const Canvas* c, WayBox box, double gap) {
  int things = 0;
  double empty = gap;
  for (double x = box.x; x < way_box_right(box); ++x) {
    if (!has_ink(c, x, box.y, 1, box.height)) {
      ++empty;
    } else {
      things += empty >= gap;
      empty = 0;
    }
  }
  return things;
}

#endif
