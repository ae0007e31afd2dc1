// The chart on a sheet, as it is written.
#ifndef WAY_DRAW_SHEET_BARS_H
#define WAY_DRAW_SHEET_BARS_H

#include "draw/sheet_pen.h"

/// Paint a row of written bars: symbols above the line, numerals below it.
void way_sheet_bars(const WaySheetPen* pen, const WayBlock* b);

#endif
