// Draws fretboards.  Each line of standard input is `CAPO LEFT FIRST LAST
// TUNING|SCALE`; each answer is an SVG file and a line `--`.
#include "draw/canvas.h"
#include "draw/fretboard_paint.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/// What is drawn.
typedef struct {
  WayFretboard board;
  WayScale scale;
} Board;

static void draw(cairo_t* cr, uint32_t page, const void* what) {
  (void)page;
  const Board* const b = what;
  const WayShown shown = way_shown_scale(&b->scale);
  const WayFretLayout l = way_fret_layout(&b->board, (WayBox){10, 10, 580, 180});
  way_fretboard_paint(cr, &l, way_theme(WAY_THEME_PRINT), &shown, NULL, 0, NULL);
}

static int draw_line(char* line) {
  Board b = {0};
  unsigned capo, left, first, last;
  int at = 0;
  char* const bar = strchr(line, '|');
  if (!bar || sscanf(line, "%u %u %u %u %n", &capo, &left, &first, &last, &at) != 4)
    return 1;
  *bar = '\0';
  bar[strcspn(bar + 1, "\n") + 1] = '\0';
  if (way_tuning_read(way_text(line + at), &b.board.tuning, NULL) ||
      way_scale_read(way_text(bar + 1), &b.scale, NULL))
    return 1;
  b.board.capo = (uint8_t)capo;
  b.board.left = left != 0;
  b.board.first = (uint8_t)first;
  b.board.last = (uint8_t)last;
  const WayCanvas canvas = {600, 200, 1, "", draw, &b};
  char* bytes = NULL;
  size_t size = 0;
  if (way_canvas_write(&canvas, WAY_CANVAS_SVG, &bytes, &size)) return 1;
  fwrite(bytes, 1, size, stdout);
  puts("--");
  free(bytes);
  return 0;
}

int main(void) {
  char line[256];
  while (fgets(line, sizeof(line), stdin))
    if (draw_line(line)) {
      fprintf(stderr, "not understood: %s", line);
      return 1;
    }
  return 0;
}
