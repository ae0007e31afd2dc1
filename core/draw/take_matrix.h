// Which degrees were played over which chord, as a table of signs.
#ifndef WAY_DRAW_TAKE_MATRIX_H
#define WAY_DRAW_TAKE_MATRIX_H

#include "draw/canvas.h"
#include "take/review.h"

/// One chord.
typedef struct {
  uint32_t harmony;    ///< Index into the timeline's harmonies
  uint32_t notes[12];  ///< By semitones above the root
  uint32_t landed[12]; ///< Landing notes, likewise
} WayMatrixRow;

/// All chords that notes belong to or that arrive, in the order of the form.
typedef struct {
  uint32_t n;
  uint32_t most; ///< Notes in the fullest cell; at least 1
  WayMatrixRow* rows;
} WayMatrix;

/// Where a matrix is drawn, in points.
typedef struct {
  double x, y, width;
  double row;         ///< Height of a row; signs and letters follow it
  uint32_t most_rows; ///< Rows beyond these are only counted
} WayMatrixFrame;

/// Count.  @return #WAY_OK or #WAY_ERR_NO_MEMORY; else to be ended by
/// way_matrix_free().
WayStatus way_matrix_new(const WayReview* review, WayMatrix* out);
/// Free what a matrix holds.
void way_matrix_free(WayMatrix* matrix);
/// Height that way_matrix_draw() takes.
double way_matrix_height(const WayMatrix* matrix, const WayMatrixFrame* frame);
/**
   Draw a matrix: a column for each of the twelve tones above the root, in each cell the
   shape of the role, larger for more notes, with their number and in brackets that of
   landing notes.  A ring says that there are some; a band, that the tone is a basic
   tone of the chord.
*/
void way_matrix_draw(cairo_t* cr, const WayReview* review, const WayMatrix* matrix,
                     const WayMatrixFrame* frame);
/**
   Draw the matrix of a review into a file.

   @param title Of the chart; "" for none.
   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @param size  Receives its size.
   @return As way_canvas_write().
*/
WayStatus way_take_matrix(const WayReview* review, const char* title, const char* name,
                          WayCanvasKind kind, char** bytes, size_t* size);

#endif
