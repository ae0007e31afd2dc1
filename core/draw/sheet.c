#include "draw/sheet.h"

#include "chart/chart_walk.h"
#include "chart/targets.h"
#include "draw/measure.h"
#include "draw/sheet_stage.h"
#include "draw/spread.h"

#include <stdlib.h>
#include <string.h>

// Lengths in the sheet's units: points, before large print enlarges them.
#define LEFT 50.0
#define RIGHT 46.0
#define TOP 46.0
#define BOTTOM 50.0
#define BEFORE_HEAD 16.0 // free above a head, but not at the top of a page
#define NARROW 440.0     // width of the body
#define HEAD_KEEPS 60.0  // what follows a head on its page, at least
#define SMALLER 0.8     // as small as symbols may be set before a row gets less to hold
#define BARS_LEAST 42.0 // height of a row of bars in a long chart,
#define BARS_ENDINGS 47.0 // of one with endings
#define LARGER 4.0        // from string to string more, where there is room,
#define LARGER_KEYS 20.0  // and keys so much higher
#define GUTTER_MOST 84.0
#define LETTER 6.2 // width of a letter in a section's name
#define LOW_NOTE 9.0
#define FRONT 62.0 // clef and signature of a row of the line

static const struct {
  const char* name;
  double width, height; ///< Points: ISO 216, ANSI/ASME Y14.1
} papers[WAY_PAPER_COUNT] = {
    [WAY_PAPER_A4] = {"A4", 595.276, 841.89},
    [WAY_PAPER_LETTER] = {"Letter", 612, 792},
};

const char* way_paper_name(WayPaper paper) { return papers[paper].name; }

// ---- The part of the fretboard.

WayFretboard way_sheet_board(const WaySheetLook* look, WayPcSet set, WayPc root) {
  WayFretboard board = look->frets;
  if (look->window) return board;
  const WayPosition p =
      look->position ? way_position_at(&board.tuning, board.capo, set, look->position)
                     : way_position_best(&board.tuning, board.capo, set, root);
  board.first = p.first;
  board.last = p.last;
  return board;
}

unsigned way_sheet_positions(const WaySheetLook* look, WayPcSet set,
                             WayPosition out[WAY_POSITIONS]) {
  unsigned n = 0;
  for (unsigned i = 1; i <= WAY_POSITIONS; ++i) {
    const WayPosition p = way_position_at(&look->frets.tuning, look->frets.capo, set,
                                          look->frets.capo + i);
    if (n && p.gaps < out[0].gaps) n = 0;
    if (!n || p.gaps == out[0].gaps) out[n++] = p;
  }
  return n;
}

// ---- Widths, by an estimate: painting measures them.

double way_sheet_gutter(const WayChart* c) {
  double width = 0;
  for (uint32_t i = 0; i < c->n_sections; ++i) {
    const WayChartSection* const s = &c->sections[i];
    const uint32_t letters = (uint32_t)strlen(s->name);
    double wants = letters || s->key_given || s->metre_given ? WAY_SHEET_GUTTER : 0;
    if (letters > WAY_SHEET_SHORT && letters * LETTER + 8 > wants)
      wants = letters * LETTER + 8;
    if (wants > width) width = wants;
  }
  return width < GUTTER_MOST ? width : GUTTER_MOST;
}

double way_sheet_bar_wants(const WaySheet* s, uint32_t bar) {
  const WayChartBar* const b = &s->chart->bars[bar];
  double width = 16 + (b->repeat_open ? 9 : 0) + (b->repeat_close ? 9 : 0);
  for (uint32_t i = 0; i < b->n_slots; ++i) {
    const WayChartSlot* const slot = &s->chart->slots[b->first_slot + i];
    if (slot->kind == WAY_SLOT_REPEAT) continue;
    width += 16 * way_measure_symbol(&slot->chord) + (slot->target.number ? 15 : 0);
  }
  return width;
}

double way_sheet_line_wants(const WaySheet* s, uint32_t bar) {
  const WayTimeline* const t = s->form;
  const WayTick from = t->bars[bar].start;
  const WayTick to = way_timeline_bar_end(t, bar);
  double width = 20;
  for (uint32_t i = way_timeline_at(t, from).span;
       i < t->n_spans && t->spans[i].start < to; ++i) {
    const WayTick start = t->spans[i].start < from ? from : t->spans[i].start;
    const WayTick next = way_timeline_span_end(t, i);
    WayStaffValue values[WAY_VALUES_MAX];
    const unsigned n = way_staff_values((next < to ? next : to) - start, values);
    const double notes = 15.0 * (n ? n : 1);
    const double symbol =
        start == t->spans[i].start
            ? 11.5 * way_measure_symbol(&way_timeline_harmony(t, i)->chord)
            : 0;
    width += notes > symbol ? notes : symbol;
  }
  return width;
}

/// Whether `n` bars from `first` on stand in a row.
static bool fit(const WaySheet* s, double (*wants)(const WaySheet*, uint32_t),
                double room, uint32_t first, uint32_t n) {
  double all = 0;
  for (uint32_t i = 0; i < n; ++i) all += wants(s, first + i);
  return SMALLER * all <= room;
}

// ---- Heights.

static double diagram(const WaySheet* s, double string, double keys) {
  return s->look.keyboard ? keys : string * (s->look.frets.tuning.n + 0.86);
}

static double height_of(const WaySheet* s, WayBlockKind kind) {
  switch (kind) {
  case WAY_BLOCK_TITLE: return 72;
  case WAY_BLOCK_HEAD: return s->narrow ? 56 : 40;
  case WAY_BLOCK_BARS: return 50;
  case WAY_BLOCK_LINE: return 82 + s->deep;
  case WAY_BLOCK_STAGES: return (s->narrow ? 98 : 76) + diagram(s, 12.6, 72);
  case WAY_BLOCK_CHORD: return 4.5 + diagram(s, 12.2, 66);
  case WAY_BLOCK_MAP: return WAY_SHEET_NAMES + 10 + WAY_SHEET_ROW * s->map->n_rows;
  case WAY_BLOCK_CHANGES: return 16;
  case WAY_BLOCK_POSITIONS: return 30 + diagram(s, 10.5, 50);
  default: return 0;
  }
}

// ---- The blocks.

static WayStatus add(WaySheet* s, WayBlockKind kind, WaySheetPart part, uint32_t first,
                     uint32_t n) {
  if (s->n_blocks == s->room) {
    const uint32_t room = 2 * s->room + 64;
    WayBlock* const more = realloc(s->blocks, room * sizeof(*more));
    if (!more) return WAY_ERR_NO_MEMORY;
    s->blocks = more;
    s->room = room;
  }
  s->blocks[s->n_blocks++] =
      (WayBlock){kind, part, first, n, 0, {0, 0, s->body.width, height_of(s, kind)}};
  return WAY_OK;
}

/// Add items first..end-1, so many a block.
static WayStatus add_rows(WaySheet* s, WayBlockKind kind, WaySheetPart part,
                          uint32_t first, uint32_t end, uint32_t a_row) {
  WayStatus st = WAY_OK;
  for (; !st && first < end; first += a_row) {
    if (s->n_blocks > 64 * WAY_SHEET_PAGES_MAX) return WAY_ERR_FULL;
    st = add(s, kind, part, first, end - first < a_row ? end - first : a_row);
  }
  return st;
}

/// Add rows of bars first..end-1: of `a_row`, or half as many as often as their chords
/// ask for; a row begins where such groups of bars do.
static WayStatus add_bars(WaySheet* s, WayBlockKind kind, WaySheetPart part,
                          uint32_t first, uint32_t end) {
  const bool line = kind == WAY_BLOCK_LINE;
  const double beside = line ? FRONT : way_sheet_gutter(s->chart);
  const uint32_t a_row = line ? s->line_bars : WAY_SHEET_BARS;
  double (*const wants)(const WaySheet*, uint32_t) =
      line ? way_sheet_line_wants : way_sheet_bar_wants;
  WayStatus st = WAY_OK;
  uint32_t n;
  for (uint32_t bar = first; !st && bar < end; bar += n) {
    for (uint32_t group = a_row;; group /= 2) {
      n = end - bar < group ? end - bar : group;
      if (group == 1 ||
          (!((bar - first) % group) && fit(s, wants, s->body.width - beside, bar, n)))
        break;
    }
    st = add_rows(s, kind, part, bar, bar + n, n);
  }
  return st;
}

static WayStatus add_chart(WaySheet* s) {
  WayStatus st = add(s, WAY_BLOCK_TITLE, WAY_PART_CHART, 0, 0);
  for (uint32_t i = 0; !st && i < s->chart->n_sections; ++i) {
    const WayChartSection* const section = &s->chart->sections[i];
    st = add_bars(s, WAY_BLOCK_BARS, WAY_PART_CHART, section->first_bar,
                  section->first_bar + section->n_bars);
  }
  return st;
}

/// The bar behind a section of the form.
static uint32_t section_end(const WayTimeline* t, uint32_t section) {
  return section + 1 < t->n_sections ? t->sections[section + 1].first_bar : t->n_bars;
}

static WayStatus add_line(WaySheet* s) {
  WayStatus st = WAY_OK;
  for (uint32_t i = 0; !st && i < s->form->n_sections; ++i)
    st = add_bars(s, WAY_BLOCK_LINE, WAY_PART_LINE, s->form->sections[i].first_bar,
                  section_end(s->form, i));
  return st;
}

static WayStatus add_part(WaySheet* s, WaySheetPart part) {
  const uint32_t chords = s->map->n_columns;
  const uint32_t a_row = way_spread_even(
      chords, (uint32_t)((s->body.width - WAY_SHEET_NOTES) / WAY_SHEET_COLUMN));
  switch (part) {
  case WAY_PART_CHART: return add_chart(s);
  case WAY_PART_LINE: return add_line(s);
  case WAY_PART_STAGES:
    return add_rows(s, WAY_BLOCK_STAGES, part, 0, WAY_STAGES, WAY_SHEET_STAGES);
  case WAY_PART_CHORDS: return add_rows(s, WAY_BLOCK_CHORD, part, 0, chords, 1);
  case WAY_PART_MAP: return add_rows(s, WAY_BLOCK_MAP, part, 0, chords, a_row);
  case WAY_PART_CHANGES:
    return add_rows(s, WAY_BLOCK_CHANGES, part, 0, s->map->n_changes, 1);
  case WAY_PART_POSITIONS:
    return add_rows(s, WAY_BLOCK_POSITIONS, part, 0, s->n_positions,
                    WAY_SHEET_POSITIONS);
  default: return WAY_OK;
  }
}

/// A part and its head; a part without anything has none.
static WayStatus add_with_head(WaySheet* s, WaySheetPart part) {
  const uint32_t head = s->n_blocks;
  WayStatus st = WAY_OK;
  if (part != WAY_PART_CHART) st = add(s, WAY_BLOCK_HEAD, part, (uint32_t)part, 0);
  if (!st) st = add_part(s, part);
  if (part != WAY_PART_CHART && s->n_blocks == head + 1) s->n_blocks = head;
  return st;
}

// ---- The pages.

/// The height a block needs on its page: a head takes some of its part along.
static double wanted(const WaySheet* s, uint32_t i) {
  double height = s->blocks[i].box.height, after = 0;
  if (s->blocks[i].kind != WAY_BLOCK_HEAD) return height;
  for (uint32_t k = i + 1; k < s->n_blocks && after < HEAD_KEEPS; ++k) {
    if (s->blocks[k].part != s->blocks[i].part) break;
    after += s->blocks[k].box.height;
  }
  return height + after;
}

static void set_heights(WaySheet* s, WayBlockKind kind, double height) {
  for (uint32_t i = 0; i < s->n_blocks; ++i)
    if (s->blocks[i].kind == kind) s->blocks[i].box.height = height;
}

static uint32_t count(const WaySheet* s, WayBlockKind kind) {
  uint32_t n = 0;
  for (uint32_t i = 0; i < s->n_blocks; ++i) n += s->blocks[i].kind == kind;
  return n;
}

/// A chart that is a little too long for its page has its rows closer together.
static void fit_chart(WaySheet* s) {
  bool endings = false;
  for (uint32_t i = 0; i < s->chart->n_bars; ++i) endings |= s->chart->bars[i].endings;
  const double least = endings ? BARS_ENDINGS : BARS_LEAST;
  const double room = s->body.height - height_of(s, WAY_BLOCK_TITLE);
  const uint32_t n = count(s, WAY_BLOCK_BARS);
  if (n * height_of(s, WAY_BLOCK_BARS) > room && n * least <= room)
    set_heights(s, WAY_BLOCK_BARS, room / n);
}

/// Diagrams of a part that fills its page, or has it alone, are as large as that lets
/// them.
static void fill_page(WaySheet* s, WayBlockKind kind, bool alone) {
  const double least = height_of(s, kind);
  const double room = s->body.height - height_of(s, WAY_BLOCK_HEAD);
  const uint32_t n = count(s, kind), most = (uint32_t)(room / least);
  const uint32_t on_page = n < most ? n : most;
  if (!on_page || (n < most && !alone)) return;
  const double larger = least + diagram(s, LARGER, LARGER_KEYS);
  set_heights(s, kind, room / on_page < larger ? room / on_page : larger);
}

/// Parts that begin a page.
static bool begins_page(const WayBlock* b) {
  return b->kind == WAY_BLOCK_HEAD &&
         (b->part == WAY_PART_STAGES || b->part == WAY_PART_CHORDS ||
          b->part == WAY_PART_POSITIONS);
}

static WayStatus flow(WaySheet* s) {
  double y = s->body.y;
  uint32_t page = 0;
  for (uint32_t i = 0; i < s->n_blocks; ++i) {
    WayBlock* const b = &s->blocks[i];
    const bool top = y <= s->body.y;
    if (b->kind == WAY_BLOCK_HEAD && !top) y += BEFORE_HEAD;
    if (!top && (begins_page(b) || y + wanted(s, i) > way_box_bottom(s->body) + 1e-6)) {
      if (++page == WAY_SHEET_PAGES_MAX) return WAY_ERR_FULL;
      y = s->body.y;
    }
    if (y <= s->body.y && b->kind == WAY_BLOCK_CHANGES) y += WAY_SHEET_COLUMNS;
    b->page = page;
    b->box.x = s->body.x;
    b->box.y = y;
    y += b->box.height;
  }
  s->n_pages = page + 1;
  return WAY_OK;
}

// ---- What is on it.

static WayStatus find_line(WaySheet* s) {
  // Of the staff: D2 to D4 in the bass clef.
  const bool bass = s->clef == WAY_CLEF_BASS;
  return way_targets_line(s->form, bass ? 38 : WAY_TARGETS_LOW,
                          bass ? 62 : WAY_TARGETS_HIGH, &s->line);
}

/// Fills in `played`.
typedef struct {
  WaySheet* sheet;
  uint32_t bar; ///< Of the form
} Walk;

static bool visit(void* to, uint32_t section, uint32_t bar) {
  Walk* const w = to;
  (void)section;
  if (w->sheet->played[bar] == UINT32_MAX) w->sheet->played[bar] = w->bar;
  ++w->bar;
  return true;
}

static WayStatus find_played(WaySheet* s) {
  Walk walk = {s, 0};
  s->played = malloc((s->chart->n_bars + 1) * sizeof(*s->played));
  if (!s->played) return WAY_ERR_NO_MEMORY;
  memset(s->played, 0xFF, (s->chart->n_bars + 1) * sizeof(*s->played));
  way_chart_walk(s->chart, visit, &walk);
  return WAY_OK;
}

/// Whether an instrument is read in the bass clef: no open string reaches C3.
static bool is_bass(const WaySheetLook* look) {
  if (look->keyboard) return false;
  for (unsigned i = 0; i < look->frets.tuning.n; ++i)
    if (look->frets.tuning.open[i] > 48) return false;
  return true;
}

/// Eight bars stand in a row of the line where that saves rows and leaves room.
static uint32_t bars_a_row(const WaySheet* s) {
  const WayTimeline* const t = s->form;
  bool saves = false;
  for (uint32_t i = 0; i < t->n_sections; ++i) {
    const uint32_t first = t->sections[i].first_bar, end = section_end(t, i);
    for (uint32_t bar = first; bar < end; bar += 2 * WAY_SHEET_BARS) {
      const uint32_t n =
          end - bar < 2 * WAY_SHEET_BARS ? end - bar : 2 * WAY_SHEET_BARS;
      saves |= n > WAY_SHEET_BARS;
      if (!fit(s, way_sheet_line_wants, s->body.width - FRONT, bar, n))
        return WAY_SHEET_BARS;
    }
  }
  return saves && !s->narrow ? 2 * WAY_SHEET_BARS : WAY_SHEET_BARS;
}

/// What notes far below the staff take.
static double depth(const WaySheet* s) {
  const int low = s->clef == WAY_CLEF_BASS ? 41 : 60;
  for (uint32_t i = 0; i < s->form->n_spans; ++i)
    if (s->line[i].pitch != WAY_LINE_SILENT && s->line[i].pitch < low) return LOW_NOTE;
  return 0;
}

static WayStatus fill(WaySheet* s) {
  WayStatus st = way_degree_map_new(s->form, WAY_MATERIAL_PARENT, &s->map);
  if (!st) st = find_line(s);
  if (!st) st = find_played(s);
  if (st) return st;
  const WayScale* const parent = &s->form->loop.parent;
  const WayPcSet set = way_scale_pcs(parent);
  s->board = way_sheet_board(&s->look, set, way_spelling_pc(parent->tonic));
  if (s->look.all_positions && !s->look.keyboard)
    s->n_positions = way_sheet_positions(&s->look, set, s->positions);
  s->line_bars = bars_a_row(s);
  s->deep = depth(s);
  for (unsigned part = 0; !st && part < WAY_PART_COUNT; ++part)
    st = add_with_head(s, (WaySheetPart)part);
  if (st) return st;
  fit_chart(s);
  fill_page(s, WAY_BLOCK_STAGES, true);
  fill_page(s, WAY_BLOCK_CHORD, false);
  fill_page(s, WAY_BLOCK_POSITIONS, true);
  return flow(s);
}

WayStatus way_sheet_new(const WayChart* chart, const WayTimeline* form,
                        const WaySheetLook* look, WaySheet** out) {
  WaySheet* const s = calloc(1, sizeof(*s));
  if (!s) return WAY_ERR_NO_MEMORY;
  s->look = *look;
  s->chart = chart;
  s->form = form;
  s->clef = is_bass(look) ? WAY_CLEF_BASS : WAY_CLEF_TREBLE;
  s->scale = look->large ? WAY_SHEET_LARGE : 1;
  s->width = papers[look->paper].width / s->scale;
  s->height = papers[look->paper].height / s->scale;
  s->body = (WayBox){LEFT, TOP, s->width - LEFT - RIGHT, s->height - TOP - BOTTOM};
  s->narrow = s->body.width < NARROW;
  const WayStatus st = fill(s);
  if (st) {
    way_sheet_free(s);
    return st;
  }
  *out = s;
  return WAY_OK;
}

void way_sheet_free(WaySheet* s) {
  if (!s) return;
  way_degree_map_free(s->map);
  free(s->line);
  free(s->played);
  free(s->blocks);
  free(s);
}

WayShown way_sheet_stage_shown(const WaySheet* s, unsigned index, uint32_t* column) {
  const WayStage* const stage = way_stage(index);
  const WayLoopScales* const loop = &s->form->loop;
  WayShown shown;
  *column = UINT32_MAX;
  if (!way_stage_by_chord(stage) || !s->map->n_columns) {
    shown =
        way_shown_scale(stage->material == WAY_MATERIAL_PENTATONIC ? &loop->pentatonic
                        : stage->material == WAY_MATERIAL_BLUES    ? &loop->blues
                                                                   : &loop->parent);
  } else {
    unsigned first = 0; // each stage shows the next chord of the form
    while (!way_stage_by_chord(way_stage(first))) ++first;
    *column = (index - first) % s->map->n_columns;
    shown =
        way_shown_material(way_degree_map_harmony(s->map, *column), stage->material);
  }
  shown.by_name = s->look.by_name;
  return shown;
}
