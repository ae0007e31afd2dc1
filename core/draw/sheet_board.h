// Diagrams on a sheet: stages of practice, chords, positions.
#ifndef WAY_DRAW_SHEET_BOARD_H
#define WAY_DRAW_SHEET_BOARD_H

#include "draw/sheet_pen.h"

/// Paint stages of practice side by side: name, diagram, what to listen to, a line for
/// dates.
void way_sheet_stages(const WaySheetPen* pen, const WayBlock* b);
/// Paint one chord: its tones and its scale.
void way_sheet_chord(const WaySheetPen* pen, const WayBlock* b);
/// Paint positions of the parent scale side by side.
void way_sheet_up_the_neck(const WaySheetPen* pen, const WayBlock* b);
/// Append what a position is called: `position 5, 2 stretches`.
void way_sheet_position_words(const WayPosition* p, WayOut* out);

#endif
