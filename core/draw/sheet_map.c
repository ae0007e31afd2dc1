#include "draw/sheet_map.h"

#include "theory/chord_write.h"

#define RADIUS 8.2

static double x_of(const WayBlock* b, uint32_t column) {
  return b->box.x + WAY_SHEET_NOTES + (column - b->first + 0.5) * WAY_SHEET_COLUMN;
}

static double y_of(const WayBlock* b, unsigned row) {
  return b->box.y + WAY_SHEET_NAMES + (row + 0.5) * WAY_SHEET_ROW;
}

static void column_head(const WaySheetPen* pen, const WayBlock* b, uint32_t column) {
  const WayDegreeMap* const map = pen->sheet->map;
  const WayHarmony* const h = way_degree_map_harmony(map, column);
  const WayHarmony* const next = way_degree_map_harmony(map, map->columns[column].next);
  char text[3 * WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(&h->chord, &out);
  way_chip_source(pen->cr, pen->theme.ink);
  way_label_symbol(pen->cr, x_of(b, column), b->box.y + 8,
                   &(WayLabelStyle){12, true, WAY_ALIGN_CENTRE, WAY_SHEET_COLUMN - 4},
                   text);
  out = way_out(text, sizeof(text));
  way_signs_numeral(&h->chord, &next->chord, h->key, &out);
  way_sheet_label(pen, x_of(b, column), b->box.y + 23, pen->theme.soft,
                  &(WayLabelStyle){8, false, WAY_ALIGN_CENTRE, WAY_SHEET_COLUMN - 4},
                  text);
}

static bool is_tone(WayMapCell cell) {
  return cell.in_material && cell.what.role == WAY_ROLE_CHORD;
}

/// A chord tone that stays when the next column's chord comes.
static void stay(const WaySheetPen* pen, const WayBlock* b, unsigned row,
                 uint32_t column) {
  const WayDegreeMap* const map = pen->sheet->map;
  if (column + 1 >= b->first + b->n || map->columns[column].next != column + 1) return;
  if (!is_tone(way_degree_map_cell(map, row, column)) ||
      !is_tone(way_degree_map_cell(map, row, column + 1)))
    return;
  way_sheet_rule(pen, x_of(b, column), y_of(b, row), x_of(b, column + 1), y_of(b, row),
                 3,
                 pen->theme.plain ? pen->theme.ink : way_chip_colour(WAY_ROLE_CHORD));
}

static void chip(const WaySheetPen* pen, const WayBlock* b, unsigned row,
                 uint32_t column) {
  const WayMapCell cell = way_degree_map_cell(pen->sheet->map, row, column);
  if (!cell.in_material) return;
  WayShown shown = {.set = 1};
  shown.roles[0] = cell.what;
  char text[WAY_SIGN_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_shown_sign(&shown, 0, &out);
  way_sheet_chip(pen, x_of(b, column), y_of(b, row), RADIUS, cell.what, text);
}

void way_sheet_map(const WaySheetPen* pen, const WayBlock* b) {
  const WayDegreeMap* const map = pen->sheet->map;
  const uint32_t end = b->first + b->n;
  for (unsigned row = 0; row < map->n_rows; ++row) {
    char text[WAY_SIGN_MAX];
    WayOut out = way_out(text, sizeof(text));
    way_signs_note(map->rows[row], &out);
    way_sheet_rule(pen, b->box.x + WAY_SHEET_NOTES, y_of(b, row),
                   x_of(b, end) - WAY_SHEET_COLUMN / 2, y_of(b, row), 0.6,
                   pen->theme.hair);
    way_sheet_label(pen, b->box.x, y_of(b, row), pen->theme.ink,
                    &(WayLabelStyle){10.5, true, WAY_ALIGN_LEFT, WAY_SHEET_NOTES},
                    text);
    for (uint32_t column = b->first; column < end; ++column) stay(pen, b, row, column);
    for (uint32_t column = b->first; column < end; ++column) chip(pen, b, row, column);
  }
  for (uint32_t column = b->first; column < end; ++column) column_head(pen, b, column);
}

// ---- Changes.

/// Where the columns stand, in parts of the width.
enum { CHANGE, STAYS, TONES, SCALE, COLUMNS };
static const struct {
  double at;
  const char* name;
} columns[COLUMNS] = {
    [CHANGE] = {0, "change"},
    [STAYS] = {0.3, "stay"},
    [TONES] = {0.52, "new tones"},
    [SCALE] = {0.78, "new in the scale"},
};

static void cell(const WaySheetPen* pen, const WayBlock* b, int column, double y,
                 bool strong, const char* text) {
  const double right = column + 1 < COLUMNS ? columns[column + 1].at : 1;
  const double width = (right - columns[column].at) * b->box.width - 8;
  way_sheet_label(pen, b->box.x + columns[column].at * b->box.width, y,
                  strong ? pen->theme.ink : pen->theme.soft,
                  &(WayLabelStyle){9, strong, WAY_ALIGN_LEFT, width}, text);
}

static void notes(const WaySheetPen* pen, const WayBlock* b, int column, bool strong,
                  const WayHarmony* to, WayPcSet set) {
  char text[256];
  WayOut out = way_out(text, sizeof(text));
  way_signs_notes(to, set, &out);
  cell(pen, b, column, b->box.y + 8, strong && set, text);
}

static WayPcSet new_in_scale(const WayDegreeMap* map, uint32_t change) {
  const WayMapChange* const c = &map->changes[change];
  const WayPcSet from =
      way_degree_map_harmony(map, c->from)->material[WAY_MATERIAL_CHORD_SCALE];
  const WayPcSet to =
      way_degree_map_harmony(map, c->to)->material[WAY_MATERIAL_CHORD_SCALE];
  return to & (WayPcSet)~from;
}

/// How many columns there are: without the last, if no change brings a new note.
static int columns_of(const WayDegreeMap* map) {
  for (uint32_t i = 0; i < map->n_changes; ++i)
    if (new_in_scale(map, i)) return COLUMNS;
  return SCALE;
}

void way_sheet_changes(const WaySheetPen* pen, const WayBlock* b) {
  const WayDegreeMap* const map = pen->sheet->map;
  const WayMapChange* const c = &map->changes[b->first];
  const WayHarmony* const from = way_degree_map_harmony(map, c->from);
  const WayHarmony* const to = way_degree_map_harmony(map, c->to);
  char text[6 * WAY_SYMBOL_MAX + 8];
  WayOut out = way_out(text, sizeof(text));
  if (!b->first || b->box.y <= pen->sheet->body.y + WAY_SHEET_COLUMNS)
    for (int i = 0; i < columns_of(map); ++i)
      cell(pen, b, i, b->box.y - 12, false, columns[i].name);
  way_signs_symbol(&from->chord, &out);
  way_out_str(&out, " \u2192 ");
  way_signs_symbol(&to->chord, &out);
  way_sheet_rule(pen, b->box.x, b->box.y, way_box_right(b->box), b->box.y, 0.5,
                 pen->theme.hair);
  cell(pen, b, CHANGE, b->box.y + 8, true, text);
  notes(pen, b, STAYS, false, to, c->stay);
  notes(pen, b, TONES, true, to, c->fresh);
  if (columns_of(map) == COLUMNS)
    notes(pen, b, SCALE, false, to, new_in_scale(map, b->first));
}
