#include "draw/sheet_single.h"

#include "draw/sheet_board.h"
#include "draw/sheet_pen.h"

// Lengths before large print enlarges them, in points.
#define MARGIN 24.0
#define HEAD 46.0
#define STRING 17.0
#define KEYS 90.0
#define FRET 54.0 // width of a fret
#define WIDTH_LEAST 300.0
#define WIDTH_MOST 760.0
#define HEADING 18.0 // above each of several diagrams
#define GAP 22.0

WaySingle way_single_chord(const WayChord* chord, const char* title) {
  const bool minor = way_chord_has(chord, 3, -1);
  const WayKey key = {chord->root, minor ? WAY_MODE_MINOR : WAY_MODE_MAJOR};
  const WayHarmony h = way_harmony(chord, key, NULL);
  return (WaySingle){title, way_shown_chord(&h), way_spelling_pc(chord->root)};
}

WaySingle way_single_scale(const WayScale* scale, const char* title) {
  return (WaySingle){title, way_shown_scale(scale), way_spelling_pc(scale->tonic)};
}

/// A picture.
typedef struct {
  const WaySingle* single;
  WaySheetLook look;
  WayShown shown;
  WayPosition positions[WAY_POSITIONS];
  unsigned n;     ///< Positions; 0 for one diagram
  double diagram; ///< Its height
  double width, height, scale;
} Picture;

/// The notes, from the root upward.
static void write_notes(const Picture* p, WayOut* out) {
  for (int up = 0; up < 12; ++up) {
    const WayPc pc = way_pc(p->single->root + up);
    if (!way_pcs_has(p->shown.set, pc)) continue;
    if (out->size) way_out_str(out, "  ");
    way_signs_note(p->shown.names[pc], out);
  }
}

static void paint_many(const Picture* p, const WaySheetPen* pen) {
  for (unsigned i = 0; i < p->n; ++i) {
    const double y =
        MARGIN + HEAD + (i / WAY_SHEET_POSITIONS) * (HEADING + p->diagram + GAP);
    const WayBox row = {MARGIN, y, p->width - 2 * MARGIN, HEADING + p->diagram};
    const WayBox box =
        way_sheet_cell(row, i % WAY_SHEET_POSITIONS, WAY_SHEET_POSITIONS, GAP);
    char text[64];
    WayOut out = way_out(text, sizeof(text));
    way_sheet_position_words(&p->positions[i], &out);
    way_sheet_label(pen, box.x, box.y + 6, pen->theme.soft,
                    &(WayLabelStyle){9.5, true, WAY_ALIGN_LEFT, box.width}, text);
    WayFretboard board = p->look.frets;
    board.first = p->positions[i].first;
    board.last = p->positions[i].last;
    way_sheet_diagram(pen, &p->look, &board, &p->shown,
                      (WayBox){box.x, box.y + HEADING, box.width, p->diagram});
  }
}

static void draw(cairo_t* cr, uint32_t page, const void* what) {
  const Picture* const p = what;
  const WaySheetPen pen = {cr, NULL, way_sheet_theme(p->look.mono)};
  char text[256];
  WayOut out = way_out(text, sizeof(text));
  (void)page;
  cairo_scale(cr, p->scale, p->scale);
  const double room = p->width - 2 * MARGIN;
  way_sheet_label(&pen, MARGIN, MARGIN + 8, pen.theme.ink,
                  &(WayLabelStyle){19, true, WAY_ALIGN_LEFT, room}, p->single->title);
  write_notes(p, &out);
  way_sheet_label(&pen, MARGIN, MARGIN + 28, pen.theme.soft,
                  &(WayLabelStyle){10.5, false, WAY_ALIGN_LEFT, room}, text);
  if (p->n)
    paint_many(p, &pen);
  else
    way_sheet_diagram(&pen, &p->look, &p->look.frets, &p->shown,
                      (WayBox){MARGIN, MARGIN + HEAD, room, p->diagram});
}

static void lay_out(Picture* p) {
  const WaySheetLook* const look = &p->look;
  if (look->all_positions && !look->keyboard)
    p->n = way_sheet_positions(look, p->shown.set, p->positions);
  p->look.frets = way_sheet_board(look, p->shown.set, p->single->root);
  const WayFretboard board = way_fretboard_clamped(&p->look.frets);
  p->diagram = look->keyboard ? KEYS : STRING * (board.tuning.n + 0.86);
  p->width = 2 * MARGIN + FRET * (board.last - board.first + 1);
  if (look->keyboard) p->width = 2 * MARGIN + 420;
  if (p->width < WIDTH_LEAST) p->width = WIDTH_LEAST;
  if (p->width > WIDTH_MOST || p->n) p->width = WIDTH_MOST;
  const unsigned rows = (p->n + WAY_SHEET_POSITIONS - 1) / WAY_SHEET_POSITIONS;
  p->height = 2 * MARGIN + HEAD +
              (p->n ? rows * (HEADING + p->diagram + GAP) - GAP : p->diagram);
}

WayStatus way_single_write(const WaySingle* single, const WaySheetLook* look,
                           WayCanvasKind kind, char** bytes, size_t* size) {
  Picture p = {.single = single, .look = *look, .shown = single->shown};
  p.shown.by_name = look->by_name;
  p.scale = look->large ? WAY_SHEET_LARGE : 1;
  lay_out(&p);
  const WayCanvas canvas = {
      p.width * p.scale, p.height * p.scale, 1, single->title, draw, &p};
  return way_canvas_write(&canvas, kind, bytes, size);
}
