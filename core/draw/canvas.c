#include "draw/canvas.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/// Largest side of an image cairo makes.
#define PIXELS_MAX 32767.0

/// A file in memory that grows.
typedef struct {
  char* at;
  size_t size, room;
} Bytes;

static cairo_status_t append(void* to, const unsigned char* bytes, unsigned n) {
  Bytes* const b = to;
  if (b->room - b->size < n) {
    const size_t room = 2 * b->room + n;
    char* const more = realloc(b->at, room);
    if (!more) return CAIRO_STATUS_NO_MEMORY;
    b->at = more;
    b->room = room;
  }
  memcpy(b->at + b->size, bytes, n);
  b->size += n;
  return CAIRO_STATUS_SUCCESS;
}

static bool is_png(WayCanvasKind kind) {
  return kind == WAY_CANVAS_PNG || kind == WAY_CANVAS_FRAME;
}

/// Pixels of a PNG a point.
static double scale_of(WayCanvasKind kind) { return kind == WAY_CANVAS_PNG ? 2 : 1; }

static cairo_surface_t* surface_of(const WayCanvas* c, WayCanvasKind kind, Bytes* to) {
  if (kind == WAY_CANVAS_SVG)
    return cairo_svg_surface_create_for_stream(append, to, c->width, c->height);
  if (is_png(kind))
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                      (int)ceil(c->width * scale_of(kind)),
                                      (int)ceil(c->height * scale_of(kind)));
  cairo_surface_t* const pdf =
      cairo_pdf_surface_create_for_stream(append, to, c->width, c->height);
  if (c->title && *c->title)
    cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_TITLE, c->title);
  return pdf;
}

static void draw_pages(cairo_surface_t* surface, const WayCanvas* c,
                       WayCanvasKind kind) {
  cairo_t* const cr = cairo_create(surface);
  if (is_png(kind)) cairo_scale(cr, scale_of(kind), scale_of(kind));
  for (uint32_t page = 0; page < c->n_pages && !cairo_status(cr); ++page) {
    cairo_save(cr);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_paint(cr);
    c->draw(cr, page, c->what);
    cairo_restore(cr);
    if (kind == WAY_CANVAS_PDF) cairo_show_page(cr);
  }
  cairo_destroy(cr);
}

WayStatus way_canvas_write(const WayCanvas* c, WayCanvasKind kind, char** bytes,
                           size_t* size) {
  if (kind != WAY_CANVAS_PDF && c->n_pages > 1) return WAY_ERR_RANGE;
  if (is_png(kind) && (c->width * scale_of(kind) > PIXELS_MAX ||
                       c->height * scale_of(kind) > PIXELS_MAX))
    return WAY_ERR_RANGE;
  Bytes file = {NULL, 0, 0};
  cairo_surface_t* const surface = surface_of(c, kind, &file);
  draw_pages(surface, c, kind);
  cairo_status_t status = CAIRO_STATUS_SUCCESS;
  if (is_png(kind)) status = cairo_surface_write_to_png_stream(surface, append, &file);
  cairo_surface_finish(surface);
  if (!status) status = cairo_surface_status(surface);
  cairo_surface_destroy(surface);
  if (status || !file.at) {
    free(file.at);
    return WAY_ERR_NO_MEMORY;
  }
  *bytes = file.at;
  *size = file.size;
  return WAY_OK;
}
