#include "draw/sheet_pen.h"

#include "draw/fretboard_paint.h"
#include "draw/keyboard_paint.h"
#include "theory/chord_write.h"

#include <string.h>

#define TURN 6.283185307179586

WayTheme way_sheet_theme(bool mono) {
  WayTheme theme = *way_theme(WAY_THEME_PRINT);
  if (!mono) return theme;
  const WayColour black = {0, 0, 0}, white = {1, 1, 1}, grey = {0.3, 0.3, 0.3};
  theme.ink = theme.edge = black;
  theme.ground = theme.target = white;
  theme.soft = grey;
  theme.hair = (WayColour){0.7, 0.7, 0.7};
  theme.band = (WayColour){0.94, 0.94, 0.94};
  theme.plain = true;
  return theme;
}

// ---- Words.

// ---- Marks on paper.

double way_sheet_label(const WaySheetPen* pen, double x, double y, WayColour colour,
                       const WayLabelStyle* style, const char* text) {
  way_chip_source(pen->cr, colour);
  return way_label(pen->cr, x, y, style, text);
}

void way_sheet_rule(const WaySheetPen* pen, double x0, double y0, double x1, double y1,
                    double width, WayColour colour) {
  way_chip_source(pen->cr, colour);
  cairo_set_line_width(pen->cr, width);
  cairo_move_to(pen->cr, x0, y0);
  cairo_line_to(pen->cr, x1, y1);
  cairo_stroke(pen->cr);
}

void way_sheet_chip(const WaySheetPen* pen, double x, double y, double radius,
                    WayRoleOf what, const char* text) {
  const WayTheme* const theme = &pen->theme;
  if (theme->plain)
    way_chip_plain(pen->cr, x, y, radius, what, text, theme->ink, theme->ground);
  else
    way_chip_sign(pen->cr, x, y, radius, what, text, theme->ink, &theme->ground);
}

WayBox way_sheet_cell(WayBox row, unsigned index, unsigned n, double gap) {
  const double width = (row.width - (n - 1) * gap) / n;
  return (WayBox){row.x + index * (width + gap), row.y, width, row.height};
}

void way_sheet_diagram(const WaySheetPen* pen, const WaySheetLook* look,
                       const WayFretboard* board, const WayShown* shown, WayBox box) {
  if (look->keyboard) {
    const WayKeyLayout l = way_key_layout((WayKeyboard){60, 83}, box);
    way_keyboard_paint(pen->cr, &l, &pen->theme, shown, NULL, 0);
    return;
  }
  const WayFretLayout l = way_fret_layout(board, box);
  way_fretboard_paint(pen->cr, &l, &pen->theme, shown, NULL, 0, NULL);
}

void way_sheet_target(const WaySheetPen* pen, double x, double y, WayDegree degree) {
  char text[WAY_SPELLING_MAX], label[4 * WAY_SPELLING_MAX];
  WayOut plain = way_out(text, sizeof(text)), out = way_out(label, sizeof(label));
  way_role_degree_write(degree, &plain);
  way_label_signs(text, &out);
  cairo_new_sub_path(pen->cr);
  cairo_arc(pen->cr, x, y, 6, 0, TURN);
  way_chip_source(pen->cr, pen->theme.edge);
  cairo_set_line_width(pen->cr, 2.4);
  cairo_stroke_preserve(pen->cr);
  way_chip_source(pen->cr, pen->theme.target);
  cairo_set_line_width(pen->cr, 1.3);
  cairo_stroke(pen->cr);
  way_sheet_label(pen, x, y, pen->theme.ink,
                  &(WayLabelStyle){7, false, WAY_ALIGN_CENTRE, 9}, label);
}
