#include "cli/review_files.h"

#include "draw/report.h"
#include "draw/take_matrix.h"
#include "draw/take_picture.h"
#include "take/captions.h"
#include "take/labels.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool way_cli_review_wanted(const WayReviewFiles* files) {
  return files->markers || files->csv || files->captions || files->svg || files->pdf ||
         files->png || files->report;
}

static const char* why(WayStatus status) {
  return status == WAY_ERR_RANGE
             ? "too long to be drawn: more than 2000 systems of bars"
             : way_strerror(status);
}

/// Write a file whole once `fill` has made it; `name` is NULL where none is asked for.
static WayExit
write_text(const char* name, const WayReviewFiles* files, const WayReviewed* r,
           WayStatus (*fill)(const WayReviewFiles*, const WayReviewed*, FILE*)) {
  if (!name) return WAY_EXIT_OK;
  WayExit end = WAY_EXIT_OK;
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  if (!to) return way_cli_failed(name, "%s", strerror(errno));
  const WayStatus st = fill(files, r, to);
  const bool cut = ferror(to);
  if (fclose(to) || cut || st)
    end = way_cli_failed(name, "%s", why(st ? st : WAY_ERR_NO_MEMORY));
  else
    end = way_cli_write(name, text, size);
  free(text);
  return end;
}

static WayStatus fill_csv(const WayReviewFiles* files, const WayReviewed* r, FILE* to) {
  (void)files;
  return way_labels_csv(r->review, r->smf, to);
}

static WayStatus fill_captions(const WayReviewFiles* files, const WayReviewed* r,
                               FILE* to) {
  return way_captions(r->review, r->smf, r->head->title, files->offset, to);
}

static WayStatus fill_markers(const WayReviewFiles* files, const WayReviewed* r,
                              FILE* to) {
  (void)files;
  uint8_t* bytes = NULL;
  size_t size = 0;
  const WayStatus st =
      way_labels_midi(r->review, r->smf, (const uint8_t*)r->file->at, &bytes, &size);
  if (st) return st;
  fwrite(bytes, 1, size, to);
  free(bytes);
  return WAY_OK;
}

static const char* base_name(const char* path) {
  const char* const slash = strrchr(path, '/');
  return slash ? slash + 1 : path;
}

static WayStatus fill_picture(const WayReviewFiles* files, const WayReviewed* r,
                              WayCanvasKind kind, FILE* to) {
  char* bytes = NULL;
  size_t size = 0;
  const WayStatus st = (files->matrix ? way_take_matrix : way_take_picture)(
      r->review, r->head->title, base_name(r->head->take), kind, &bytes, &size);
  if (st) return st;
  fwrite(bytes, 1, size, to);
  free(bytes);
  return WAY_OK;
}

static WayStatus fill_report(const WayReviewFiles* files, const WayReviewed* r,
                             FILE* to) {
  (void)files;
  char* bytes = NULL;
  size_t size = 0;
  const WayStatus st =
      way_report(r->review, r->head->title, base_name(r->head->take), &bytes, &size);
  if (st) return st;
  fwrite(bytes, 1, size, to);
  free(bytes);
  return WAY_OK;
}

static WayStatus fill_svg(const WayReviewFiles* files, const WayReviewed* r, FILE* to) {
  return fill_picture(files, r, WAY_CANVAS_SVG, to);
}

static WayStatus fill_pdf(const WayReviewFiles* files, const WayReviewed* r, FILE* to) {
  return fill_picture(files, r, WAY_CANVAS_PDF, to);
}

static WayStatus fill_png(const WayReviewFiles* files, const WayReviewed* r, FILE* to) {
  return fill_picture(files, r, WAY_CANVAS_PNG, to);
}

WayExit way_cli_review_write(const WayReviewFiles* files, const WayReviewed* r) {
  WayExit end = write_text(files->markers, files, r, fill_markers);
  if (!end) end = write_text(files->csv, files, r, fill_csv);
  if (!end) end = write_text(files->captions, files, r, fill_captions);
  if (!end) end = write_text(files->svg, files, r, fill_svg);
  if (!end) end = write_text(files->pdf, files, r, fill_pdf);
  if (!end) end = write_text(files->png, files, r, fill_png);
  if (!end) end = write_text(files->report, files, r, fill_report);
  return end;
}
