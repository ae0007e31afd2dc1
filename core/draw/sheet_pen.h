// What the pieces of a sheet are painted with: words, lines and diagrams.
#ifndef WAY_DRAW_SHEET_PEN_H
#define WAY_DRAW_SHEET_PEN_H

#include "draw/label.h"
#include "draw/sheet.h"
#include "draw/signs.h"
#include "draw/theme.h"

/// What every piece needs.
typedef struct {
  cairo_t* cr;
  const WaySheet* sheet;
  WayTheme theme;
} WaySheetPen;

/// The colours of a sheet on white paper.
WayTheme way_sheet_theme(bool mono);

/// Write a label in a colour.
double way_sheet_label(const WaySheetPen* pen, double x, double y, WayColour colour,
                       const WayLabelStyle* style, const char* text);
/// A line.
void way_sheet_rule(const WaySheetPen* pen, double x0, double y0, double x1, double y1,
                    double width, WayColour colour);
/// Paint a role's sign with letters.
void way_sheet_chip(const WaySheetPen* pen, double x, double y, double radius,
                    WayRoleOf what, const char* text);
/// Paint a planned landing around a point: the target's halo around its degree.
void way_sheet_target(const WaySheetPen* pen, double x, double y, WayDegree degree);
/// Cell `index` of `n` side by side in a row.
WayBox way_sheet_cell(WayBox row, unsigned index, unsigned n, double gap);
/// Paint a fretboard or a keyboard.
/// @param board The frets shown; a keyboard shows a range of its own.
void way_sheet_diagram(const WaySheetPen* pen, const WaySheetLook* look,
                       const WayFretboard* board, const WayShown* shown, WayBox box);

#endif
