// The guide-tone line on a sheet, in staff notation.
#ifndef WAY_DRAW_SHEET_LINE_H
#define WAY_DRAW_SHEET_LINE_H

#include "draw/sheet_pen.h"

/// Paint a row of bars as they are played: chords above, the line, its degrees below.
void way_sheet_line(const WaySheetPen* pen, const WayBlock* b);

#endif
