#include "draw/map_picture.h"
#include "draw/canvas.h"
#include "draw/chip.h"
#include "draw/label.h"
#include "draw/signs.h"
#include "draw/spread.h"
#include "theory/chord_write.h"
#include "theory/numeral_write.h"

// Points.
#define MARGIN 32.0
#define LEFT 88.0 // of the first column
#define TOP 100.0 // of the first block
#define COLUMN 76.0
#define HEADER 56.0 // chord and numeral
#define ROW 38.0
#define GAP 28.0 // between blocks
#define RADIUS 15.0
#define LINE 24.0 // of the list of changes
#define PER_BLOCK 12u
#define LEAST_WIDTH 640.0
#define CHANGE_STAY 200.0
#define CHANGE_NEW 400.0

static const WayColour ink = {0.13, 0.15, 0.17};
static const WayColour faint = {0.42, 0.45, 0.48};
static const WayColour hair = {0.87, 0.88, 0.89};

WayMapLayout way_map_layout(const WayDegreeMap* map) {
  WayMapLayout l = {.per_block = way_spread_even(map->n_columns, PER_BLOCK)};
  if (!l.per_block) l.per_block = 1;
  l.n_blocks = (map->n_columns + l.per_block - 1) / l.per_block;
  l.block_height = HEADER + ROW * map->n_rows + GAP;
  l.changes_top = TOP + l.block_height * l.n_blocks;
  l.width = LEFT + COLUMN * l.per_block + MARGIN;
  if (l.width < LEAST_WIDTH) l.width = LEAST_WIDTH;
  l.height =
      l.changes_top + (map->n_changes ? LINE * (map->n_changes + 1) : 0) + MARGIN;
  return l;
}

double way_map_x(const WayMapLayout* l, uint32_t column) {
  return LEFT + COLUMN * (column % l->per_block + 0.5);
}

double way_map_y(const WayMapLayout* l, unsigned row, uint32_t column) {
  const uint32_t block = column / l->per_block;
  return TOP + l->block_height * block + HEADER + ROW * (row + 0.5);
}

// A text with music signs.
static void signed_label(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                         const char* text) {
  char signs[4 * WAY_SYMBOL_MAX];
  WayOut out = way_out(signs, sizeof(signs));
  way_label_signs(text, &out);
  way_label(cr, x, y, style, signs);
}

static void draw_head(cairo_t* cr, const WayDegreeMap* map, const char* title) {
  char text[256];
  WayOut out = way_out(text, sizeof(text));
  way_chip_source(cr, ink);
  way_label(cr, MARGIN, 40, &(WayLabelStyle){24, true, WAY_ALIGN_LEFT, 0},
            *title ? title : "Degree map");
  way_signs_key(map->timeline->key, &out);
  way_out_str(&out, " \u00B7 ");
  way_out_str(&out, way_material_name(map->material));
  const WayScale* const scale = &map->choice.best.scale;
  if (scale->n) {
    way_out_str(&out, ": ");
    way_signs_scale(scale, &out);
  }
  way_chip_source(cr, faint);
  way_label(cr, MARGIN, 68, &(WayLabelStyle){14, false, WAY_ALIGN_LEFT, 0}, text);
}

// What the shapes mean, from the right edge inward.
static void draw_legend(cairo_t* cr, double right) {
  static const struct {
    WayRoleOf what;
    const char* text;
  } entries[] = {
      {{WAY_ROLE_CHROMATIC, 1, false, {9, -1}}, "neither"},
      {{WAY_ROLE_SCALE, 2, false, {9, 0}}, "scale tone"},
      {{WAY_ROLE_CHORD, 4, false, {3, 0}}, "chord tone"},
  };
  for (size_t i = 0; i < WAY_COUNT(entries); ++i) {
    way_chip_source(cr, faint);
    right -= way_label(cr, right, 68, &(WayLabelStyle){12, false, WAY_ALIGN_RIGHT, 0},
                       entries[i].text);
    way_chip(cr, right - 16, 68, 10, entries[i].what, ink);
    right -= 46;
  }
}

static void draw_chord_head(cairo_t* cr, const WayDegreeMap* map, const WayMapLayout* l,
                            uint32_t column) {
  const WayHarmony* const h = way_degree_map_harmony(map, column);
  const WayHarmony* const next = way_degree_map_harmony(map, map->columns[column].next);
  const double x = way_map_x(l, column);
  const double y = way_map_y(l, 0, column) - ROW / 2 - HEADER;
  char text[3 * WAY_NUMERAL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(&h->chord, &out);
  way_chip_source(cr, ink);
  way_label_symbol(cr, x, y + 14,
                   &(WayLabelStyle){17, true, WAY_ALIGN_CENTRE, COLUMN - 6}, text);
  out = way_out(text, sizeof(text));
  way_signs_numeral(&h->chord, &next->chord, h->key, &out);
  way_chip_source(cr, faint);
  way_label(cr, x, y + 36, &(WayLabelStyle){12, false, WAY_ALIGN_CENTRE, COLUMN - 6},
            text);
}

static void draw_row_heads(cairo_t* cr, const WayDegreeMap* map, const WayMapLayout* l,
                           uint32_t first) {
  const uint32_t last = first + l->per_block < map->n_columns ? first + l->per_block - 1
                                                              : map->n_columns - 1;
  for (unsigned row = 0; row < map->n_rows; ++row) {
    const double y = way_map_y(l, row, first);
    char note[WAY_SPELLING_MAX];
    WayOut out = way_out(note, sizeof(note));
    way_spelling_write(map->rows[row], &out);
    way_chip_source(cr, hair);
    cairo_set_line_width(cr, 1);
    cairo_move_to(cr, LEFT, y);
    cairo_line_to(cr, way_map_x(l, last) + COLUMN / 2, y);
    cairo_stroke(cr);
    way_chip_source(cr, ink);
    signed_label(cr, MARGIN, y, &(WayLabelStyle){16, true, WAY_ALIGN_LEFT, 0}, note);
  }
}

static bool is_chord_tone(WayMapCell cell) {
  return cell.in_material && cell.what.role == WAY_ROLE_CHORD;
}

// A bar from a chord tone to the column after it, where the tone stays.
static void draw_stay(cairo_t* cr, const WayDegreeMap* map, const WayMapLayout* l,
                      unsigned row, uint32_t column) {
  const uint32_t to = column + 1;
  if (to >= map->n_columns || to % l->per_block == 0) return;
  if (map->columns[column].next != to) return;
  if (!is_chord_tone(way_degree_map_cell(map, row, column)) ||
      !is_chord_tone(way_degree_map_cell(map, row, to)))
    return;
  const double y = way_map_y(l, row, column);
  way_chip_source(cr, way_chip_colour(WAY_ROLE_CHORD));
  cairo_set_line_width(cr, 4);
  cairo_move_to(cr, way_map_x(l, column), y);
  cairo_line_to(cr, way_map_x(l, to), y);
  cairo_stroke(cr);
}

// White behind a chip that is not filled, so that no line runs through its letters.
static void clear_ground(cairo_t* cr, double x, double y) {
  cairo_set_source_rgb(cr, 1, 1, 1);
  cairo_arc(cr, x, y, RADIUS + 2, 0, 6.3);
  cairo_fill(cr);
}

static void draw_cells(cairo_t* cr, const WayDegreeMap* map, const WayMapLayout* l) {
  for (uint32_t column = 0; column < map->n_columns; ++column) {
    draw_chord_head(cr, map, l, column);
    for (unsigned row = 0; row < map->n_rows; ++row) draw_stay(cr, map, l, row, column);
  }
  for (uint32_t column = 0; column < map->n_columns; ++column)
    for (unsigned row = 0; row < map->n_rows; ++row) {
      const WayMapCell cell = way_degree_map_cell(map, row, column);
      const double x = way_map_x(l, column);
      const double y = way_map_y(l, row, column);
      if (!cell.in_material) continue;
      if (!is_chord_tone(cell) || cell.what.extension) clear_ground(cr, x, y);
      way_chip(cr, x, y, RADIUS, cell.what, ink);
    }
}

static void draw_tones(cairo_t* cr, double x, double y, const WayHarmony* h,
                       WayPcSet set) {
  char text[128];
  WayOut out = way_out(text, sizeof(text));
  const WayPc root = way_spelling_pc(h->chord.root);
  for (int up = 0; up < 12; ++up) {
    const WayPc pc = way_pc(root + up);
    if (!way_pcs_has(set, pc)) continue;
    if (out.size) way_out_char(&out, ' ');
    way_spelling_write(way_harmony_spell(h, pc), &out);
  }
  signed_label(cr, x, y,
               &(WayLabelStyle){14, false, WAY_ALIGN_LEFT, CHANGE_NEW - CHANGE_STAY},
               set ? text : "\u2013");
}

static void draw_changes(cairo_t* cr, const WayDegreeMap* map, const WayMapLayout* l) {
  const WayLabelStyle head = {12, false, WAY_ALIGN_LEFT, 0};
  double y = l->changes_top + LINE / 2;
  if (!map->n_changes) return;
  way_chip_source(cr, faint);
  way_label(cr, MARGIN, y, &head, "change");
  way_label(cr, MARGIN + CHANGE_STAY, y, &head, "tones that stay");
  way_label(cr, MARGIN + CHANGE_NEW, y, &head, "new tones");
  for (uint32_t i = 0; i < map->n_changes; ++i) {
    const WayMapChange* const c = &map->changes[i];
    const WayHarmony* const to = way_degree_map_harmony(map, c->to);
    char text[2 * WAY_SYMBOL_MAX + 8];
    WayOut out = way_out(text, sizeof(text));
    way_chord_write(&way_degree_map_harmony(map, c->from)->chord, &out);
    way_out_str(&out, " \u2192 ");
    way_chord_write(&to->chord, &out);
    y += LINE;
    way_chip_source(cr, ink);
    signed_label(cr, MARGIN, y,
                 &(WayLabelStyle){14, true, WAY_ALIGN_LEFT, CHANGE_STAY - 12}, text);
    draw_tones(cr, MARGIN + CHANGE_STAY, y, to, c->stay);
    draw_tones(cr, MARGIN + CHANGE_NEW, y, to, c->fresh);
  }
}

static void draw(cairo_t* cr, const WayDegreeMap* map, const WayMapLayout* l,
                 const char* title) {
  cairo_set_source_rgb(cr, 1, 1, 1);
  cairo_paint(cr);
  draw_head(cr, map, title);
  draw_legend(cr, l->width - MARGIN);
  for (uint32_t block = 0; block < l->n_blocks; ++block)
    draw_row_heads(cr, map, l, block * l->per_block);
  draw_cells(cr, map, l);
  draw_changes(cr, map, l);
}

/// What the picture needs.
typedef struct {
  const WayDegreeMap* map;
  WayMapLayout layout;
  const char* title;
} Picture;

static void draw_picture(cairo_t* cr, uint32_t page, const void* what) {
  (void)page;
  const Picture* const p = what;
  draw(cr, p->map, &p->layout, p->title);
}

WayStatus way_map_picture_svg(const WayDegreeMap* map, const char* title, char** bytes,
                              size_t* size) {
  const Picture p = {map, way_map_layout(map), title};
  const WayCanvas canvas = {.width = p.layout.width,
                            .height = p.layout.height,
                            .n_pages = 1,
                            .draw = draw_picture,
                            .what = &p};
  return way_canvas_write(&canvas, WAY_CANVAS_SVG, bytes, size);
}
