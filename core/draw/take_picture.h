// A take as a picture: its notes over the chords.
#ifndef WAY_DRAW_TAKE_PICTURE_H
#define WAY_DRAW_TAKE_PICTURE_H

#include "draw/canvas.h"
#include "draw/take_layout.h"

/// Height of way_take_legend() at scale 1, in points.
#define WAY_TAKE_LEGEND 16.0

/**
   Draw the systems of one page.

   Each note is a bar as long as it sounds, with the shape of its role and its degree;
   bands show the basic tones of each chord.  A ring marks a landing note, a halo a
   planned landing (broken where the line went elsewhere), a bracket a phrase with the
   mark of its motif.
*/
void way_take_draw(cairo_t* cr, const WayReview* review, const WayTakeLayout* layout,
                   uint32_t page);
/// Draw what the signs mean, one line with its middle at `y`.
void way_take_legend(cairo_t* cr, double x, double y, double scale);

/**
   Draw a take into a file; a PDF in pages, the other kinds as one.

   @param title Of the chart; "" for none.
   @param name  Of the take.
   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @param size  Receives its size.
   @return #WAY_OK, #WAY_ERR_RANGE (too long for its kind) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_take_picture(const WayReview* review, const char* title, const char* name,
                           WayCanvasKind kind, char** bytes, size_t* size);

#endif
