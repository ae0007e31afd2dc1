// The degree map on a sheet, and what each change brings.
#ifndef WAY_DRAW_SHEET_MAP_H
#define WAY_DRAW_SHEET_MAP_H

#include "draw/sheet_pen.h"

/// Paint columns of the degree map.
void way_sheet_map(const WaySheetPen* pen, const WayBlock* b);
/// Paint changes: what stays, and what is new.
void way_sheet_changes(const WaySheetPen* pen, const WayBlock* b);

#endif
