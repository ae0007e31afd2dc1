// A small picture to look at pixel by pixel.
#ifndef WAY_TESTS_CANVAS_H
#define WAY_TESTS_CANVAS_H

#include "check.h"
#include "draw/theme.h"

#include <math.h>
#include <stdlib.h>

/// A picture and its context.
typedef struct {
  cairo_surface_t* surface;
  cairo_t* cr;
} Canvas;

/// A picture of one colour.
static inline Canvas canvas_of(int width, int height, WayColour ground) {
  Canvas c;
  c.surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
  c.cr = cairo_create(c.surface);
  way_chip_source(c.cr, ground);
  cairo_paint(c.cr);
  return c;
}

static inline void canvas_free(Canvas c) {
  cairo_destroy(c.cr);
  cairo_surface_destroy(c.surface);
}

/// The colour of what lies outside: no colour at all.
#define OUTSIDE 0xFF000000u

/// The colour at a point: 0xRRGGBB.
static inline uint32_t canvas_at(const Canvas* c, double x, double y) {
  cairo_surface_flush(c->surface);
  if (x < 0 || y < 0 || x >= cairo_image_surface_get_width(c->surface) ||
      y >= cairo_image_surface_get_height(c->surface))
    return OUTSIDE;
  uint32_t pixel;
  memcpy(&pixel,
         cairo_image_surface_get_data(c->surface) +
             (long)y * cairo_image_surface_get_stride(c->surface) + 4 * (long)x,
         sizeof(pixel));
  return pixel & 0xFFFFFF;
}

/// The same as 0xRRGGBB.
static inline uint32_t colour_of(WayColour c) {
  return (uint32_t)(lround(c.red * 255) << 16 | lround(c.green * 255) << 8 |
                    lround(c.blue * 255));
}

/// How many points of a box have about a colour.
static inline int canvas_count(const Canvas* c, double x, double y, double width,
                               double height, WayColour colour) {
  int n = 0;
  const uint32_t want = colour_of(colour);
  for (int i = 0; i < (int)height; ++i)
    for (int k = 0; k < (int)width; ++k) {
      const uint32_t is = canvas_at(c, x + k, y + i);
      if (is == OUTSIDE) continue;
      int apart = 0;
      for (int s = 0; s < 24; s += 8)
        apart += abs((int)(is >> s & 255) - (int)(want >> s & 255));
      n += apart < 24;
    }
  return n;
}

#endif
