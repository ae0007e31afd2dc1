#include "overlay.h"

#include <math.h>

#define HELP_ROWS (WAY_CHOICE_COUNT + WAY_HELP_LINES)
#define TEXT_ROWS 5u ///< Most rows of text shown at once

static WayOverLayout lay_out_help(const WayScreenLayout* s) {
  WayOverLayout l = {
      .box = way_box_inset((WayBox){0, 0, s->width, s->height}, 0.8 * s->unit)};
  const unsigned columns = s->width > 1.1 * s->height ? 2 : 1;
  l.text = way_box_inset(l.box, 1.2 * s->unit);
  l.rows = (HELP_ROWS + columns - 1) / columns;
  l.row = l.text.height / l.rows;
  l.column = l.text.width / columns;
  l.letter = fmin(0.62 * l.row, l.column / 30);
  return l;
}

static WayOverLayout lay_out_text(const WayScreenLayout* s, unsigned lines) {
  WayOverLayout l = {.letter = 1.15 * s->unit, .column = 0};
  l.rows = lines < 1 ? 1 : lines < TEXT_ROWS ? lines : TEXT_ROWS;
  l.row = 1.7 * l.letter;
  const double height = (l.rows + 3.2) * l.row;
  const double border = 0.8 * s->unit;
  l.box = (WayBox){border, fmax(s->height - height - border, border),
                   s->width - 2 * border, fmin(height, s->height - 2 * border)};
  l.text = way_box_inset(l.box, 0.9 * s->unit);
  l.text.y += l.row; // below its heading
  l.text.height = l.rows * l.row;
  return l;
}

WayOverLayout way_over_layout(WayOver over, const WayScreenLayout* s, unsigned lines) {
  if (over == WAY_OVER_NOTHING) return (WayOverLayout){0};
  return over == WAY_OVER_HELP ? lay_out_help(s) : lay_out_text(s, lines);
}

WayBox way_over_row(const WayOverLayout* l, unsigned index) {
  const unsigned column = index / l->rows;
  return (WayBox){l->text.x + column * l->column,
                  l->text.y + (index - column * l->rows) * l->row, l->column, l->row};
}

WayChoiceId way_over_choice_at(const WayOverLayout* l, double x, double y) {
  unsigned i = 0;
  if (!l->rows) return WAY_CHOICE_COUNT;
  while (i < WAY_CHOICE_COUNT && !way_box_has(way_over_row(l, i), x, y)) ++i;
  return (WayChoiceId)i;
}
