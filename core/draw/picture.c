#include "draw/picture.h"

#include <cairo-svg.h>
#include <stdlib.h>
#include <string.h>

// A file in memory that grows.
typedef struct {
  char* at;
  size_t size, room;
} Bytes;

static cairo_status_t append(void* to, const unsigned char* bytes, unsigned n) {
  Bytes* const b = to;
  if (b->room - b->size < n) {
    const size_t room = 2 * b->room + n;
    char* const more = realloc(b->at, room);
    if (!more) return CAIRO_STATUS_WRITE_ERROR;
    b->at = more;
    b->room = room;
  }
  memcpy(b->at + b->size, bytes, n);
  b->size += n;
  return CAIRO_STATUS_SUCCESS;
}

static void draw_on(cairo_surface_t* surface, WayPictureDraw draw, const void* what) {
  cairo_t* const cr = cairo_create(surface);
  draw(cr, what);
  cairo_destroy(cr);
}

static WayStatus hand_over(Bytes* file, cairo_status_t status, char** bytes,
                           size_t* size) {
  if (status) {
    free(file->at);
    return WAY_ERR_NO_MEMORY;
  }
  *bytes = file->at;
  *size = file->size;
  return WAY_OK;
}

WayStatus way_picture_svg(double width, double height, WayPictureDraw draw,
                          const void* what, char** bytes, size_t* size) {
  Bytes file = {0};
  cairo_surface_t* const surface =
      cairo_svg_surface_create_for_stream(append, &file, width, height);
  draw_on(surface, draw, what);
  cairo_surface_finish(surface);
  const cairo_status_t status = cairo_surface_status(surface);
  cairo_surface_destroy(surface);
  return hand_over(&file, status, bytes, size);
}

WayStatus way_picture_png(int width, int height, WayPictureDraw draw, const void* what,
                          char** bytes, size_t* size) {
  Bytes file = {0};
  cairo_surface_t* const surface =
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
  draw_on(surface, draw, what);
  const cairo_status_t status =
      cairo_surface_write_to_png_stream(surface, append, &file);
  cairo_surface_destroy(surface);
  return hand_over(&file, status, bytes, size);
}
