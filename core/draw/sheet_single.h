// Single diagrams of a chord or a scale.
#ifndef WAY_DRAW_SHEET_SINGLE_H
#define WAY_DRAW_SHEET_SINGLE_H

#include "draw/canvas.h"
#include "draw/sheet.h"

/// What a diagram is of.
typedef struct {
  const char* title; ///< With music signs
  WayShown shown;
  WayPc root;
} WaySingle;

/// A chord's tones.  @param title As WaySingle.title; borrowed.
WaySingle way_single_chord(const WayChord* chord, const char* title);
/// A scale's notes.
WaySingle way_single_scale(const WayScale* scale, const char* title);
/**
   Draw it in one picture: in the position of the look, or in all positions.

   @param look  `paper` is not used: the picture is as large as the diagrams.
   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @param size  Receives its size.
   @return As way_canvas_write().
*/
WayStatus way_single_write(const WaySingle* single, const WaySheetLook* look,
                           WayCanvasKind kind, char** bytes, size_t* size);

#endif
