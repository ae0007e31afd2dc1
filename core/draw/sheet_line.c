#include "draw/sheet_line.h"

#include "draw/measure.h"
#include "draw/spread.h"
#include "draw/staff_paint.h"
#include "theory/chord_write.h"

#define SPACE 5.2
#define STAFF_BOTTOM 46.0 // below the top of the row
#define SYMBOLS 8.0
#define DEGREES 67.0
#define LEAD 15.0 // between a bar line and the first note
#define TAIL 4.0
#define GAP 5.0            // between symbols
#define NAME 8.0           // size of a long name of a section
#define NOTE (2.6 * SPACE) // least distance from note to note
#define PIECES_MAX (WAY_CHART_SHARES_MAX + 1)

/// What one bar hears of one chord.
typedef struct {
  uint32_t span;
  WayTick from, to;
  double x, end; ///< Of its first note, and of the next piece's
} Piece;

/// A bar with its chords.
typedef struct {
  uint32_t index;
  double x, width;
  unsigned n;
  Piece pieces[PIECES_MAX];
  double scale; ///< Symbols are so much smaller
} Bar;

/// One row.
typedef struct {
  const WaySheetPen* pen;
  const WaySheet* s;
  WayStaffPlace at;
  double top; ///< Of the row
  uint32_t first, n;
  Bar bars[2 * WAY_SHEET_BARS];
  double scale; ///< Of all symbols
} Row;

static const WayLabelStyle symbol_style = {11.5, true, WAY_ALIGN_LEFT, 0};

static void symbol_text(const Row* r, uint32_t span, char* text, size_t room) {
  WayOut out = way_out(text, room);
  way_chord_write(&way_timeline_harmony(r->s->form, span)->chord, &out);
}

/// Whether a piece goes on with the chord of the bar before.
static bool goes_on(const Row* r, const Piece* p) {
  return p->from > r->s->form->spans[p->span].start;
}

/// Whether its chord is named: where it begins, and at the beginning of a row.
static bool is_named(const Row* r, const Bar* bar, const Piece* p) {
  return !goes_on(r, p) || bar->index == r->first;
}

static double piece_width(const Row* r, const Bar* bar, const Piece* p) {
  WayStaffValue values[WAY_VALUES_MAX];
  const unsigned n = way_staff_values(p->to - p->from, values);
  const double notes = NOTE * (n ? n : 1);
  if (!is_named(r, bar, p)) return notes;
  char text[WAY_SYMBOL_MAX];
  symbol_text(r, p->span, text, sizeof(text));
  const double symbol = GAP + way_label_symbol_width(r->pen->cr, &symbol_style, text);
  return symbol > notes ? symbol : notes;
}

/// Find the pieces of a bar and place them at their beats, or as near as they fit.
static void lay_out(const Row* r, Bar* bar) {
  const WayTimeline* const t = r->s->form;
  const WayTick from = t->bars[bar->index].start,
                to = way_timeline_bar_end(t, bar->index);
  const double room = bar->width - LEAD - TAIL;
  double at[PIECES_MAX], width[PIECES_MAX];
  bar->n = 0;
  for (uint32_t span = way_timeline_at(t, from).span;
       span < t->n_spans && t->spans[span].start < to && bar->n < PIECES_MAX; ++span) {
    const WayTick start = t->spans[span].start, end = way_timeline_span_end(t, span);
    Piece* const p = &bar->pieces[bar->n];
    *p = (Piece){
        .span = span, .from = start > from ? start : from, .to = end < to ? end : to};
    at[bar->n] = room * (double)(p->from - from) / (double)(to - from);
    width[bar->n++] = piece_width(r, bar, p);
  }
  // Behind the last symbol the distance to the bar line is there, too.
  bar->scale = way_spread(at, width, bar->n, room + LEAD - GAP, at);
  for (unsigned i = 0; i < bar->n; ++i) bar->pieces[i].x = bar->x + LEAD + at[i];
  for (unsigned i = 0; i < bar->n; ++i)
    bar->pieces[i].end =
        i + 1 < bar->n ? bar->pieces[i + 1].x : bar->x + bar->width - TAIL;
}

static void words(const Row* r, const Piece* p) {
  const WayLineTone* const tone = &r->s->line[p->span];
  const WayTheme* const theme = &r->pen->theme;
  const bool again = goes_on(r, p);
  char text[3 * WAY_SYMBOL_MAX], degree[WAY_SPELLING_MAX];
  WayLabelStyle style = symbol_style;
  style.size *= r->scale;
  style.bold = !again;
  symbol_text(r, p->span, text, sizeof(text));
  way_chip_source(r->pen->cr, again ? theme->soft : theme->ink);
  way_label_symbol(r->pen->cr, p->x - 4, r->top + SYMBOLS, &style, text);
  if (again || tone->pitch == WAY_LINE_SILENT) return;
  WayOut plain = way_out(degree, sizeof(degree));
  way_role_degree_write(tone->degree, &plain);
  WayOut out = way_out(text, sizeof(text));
  way_label_signs(degree, &out);
  way_sheet_label(r->pen, p->x, r->top + DEGREES + r->s->deep, theme->soft,
                  &(WayLabelStyle){8.5, true, WAY_ALIGN_CENTRE, 0}, text);
}

/// Where value `i` of `n` of a piece stands: by its time, with room for those behind.
static double value_x(const Piece* p, WayTick tick, unsigned i, unsigned n) {
  const double x =
      p->x + (p->end - p->x) * (double)(tick - p->from) / (double)(p->to - p->from);
  const double most = p->end - (n - i) * NOTE, least = p->x + i * NOTE;
  return !i ? p->x : x < least || most < least ? least : x > most ? most : x;
}

/// Paint the values of a piece, tied.  @param signs The accidentals in force.
static void notes(const Row* r, const Bar* bar, const Piece* p, WayStaffBar* signs) {
  const WaySheet* const s = r->s;
  cairo_t* const cr = r->pen->cr;
  const WayLineTone* const tone = &s->line[p->span];
  const WaySpelling note = way_spelling_above(
      way_timeline_harmony(s->form, p->span)->chord.root, tone->degree);
  const int step = way_staff_step(s->clef, note, tone->pitch);
  double x = p->x;
  if (!goes_on(r, p) && way_staff_accidental(signs, note, step))
    way_staff_alter(cr, &r->at, x - 0.85 * SPACE, step, note.alter);
  if (goes_on(r, p) && bar->index == r->first)
    way_staff_tie(cr, &r->at, x - LEAD - 2, x, step);
  WayStaffValue values[WAY_VALUES_MAX];
  const unsigned n = way_staff_values(p->to - p->from, values);
  if (!n) way_staff_note(cr, &r->at, x, step, NULL);
  WayTick tick = p->from;
  for (unsigned i = 0; i < n; ++i) {
    const double before = x;
    x = value_x(p, tick, i, n);
    way_staff_note(cr, &r->at, x, step, &values[i]);
    if (i) way_staff_tie(cr, &r->at, before, x, step);
    tick += values[i].ticks;
  }
  if (p->to == way_timeline_span_end(s->form, p->span)) return;
  // It goes on in the next bar, or on the next row.
  const bool in_row = bar->index + 1 < r->first + r->n;
  way_staff_tie(cr, &r->at, x, in_row ? bar[1].pieces[0].x : bar->x + bar->width + 2,
                step);
}

static void paint_bar(const Row* r, const Bar* bar) {
  const WaySheet* const s = r->s;
  const WayKey key = way_timeline_harmony(s->form, bar->pieces[0].span)->key;
  WayStaffBar signs = way_staff_bar(s->clef, key);
  for (unsigned i = 0; i < bar->n; ++i) {
    const Piece* const p = &bar->pieces[i];
    if (is_named(r, bar, p)) words(r, p);
    way_chip_source(r->pen->cr, r->pen->theme.ink);
    if (s->line[p->span].pitch == WAY_LINE_SILENT)
      way_staff_rest(r->pen->cr, &r->at, (p->x + p->end) / 2);
    else
      notes(r, bar, p, &signs);
  }
}

/// Clef, signature and, where it is new, the metre.  @return Their width.
static double paint_front(const Row* r, double x) {
  const WaySheet* const s = r->s;
  const WayMetre m = s->form->bars[r->first].metre;
  const uint32_t span = way_timeline_at(s->form, s->form->bars[r->first].start).span;
  double width = way_staff_clef(r->pen->cr, &r->at, x, s->clef);
  width += way_staff_signs(r->pen->cr, &r->at, x + width, s->clef,
                           way_timeline_harmony(s->form, span)->key);
  const WayMetre before = s->form->bars[r->first ? r->first - 1 : 0].metre;
  if (!r->first || !way_metre_equal(before, m))
    width += way_staff_metre(r->pen->cr, &r->at, x + width, m);
  return width;
}

/// The name of the section that begins with the row.
static void paint_section(const Row* r, double x, double room) {
  const WayTimeline* const t = r->s->form;
  const WaySection* const section = &t->sections[t->bars[r->first].section];
  if (section->first_bar != r->first) return;
  char text[WAY_NAME_MAX + 4];
  WayOut out = way_out(text, sizeof(text));
  WayText lines[2];
  const unsigned n = way_measure_wrap(section->name, 1.15 * NAME, room, 2, lines);
  if (n) way_out_text(&out, lines[0]);
  if (n > 1) way_out_str(&out, "\u2026");
  way_sheet_label(r->pen, x, r->top + SYMBOLS, r->pen->theme.soft,
                  &(WayLabelStyle){n > 1 ? NAME : 10, true, WAY_ALIGN_LEFT, room - 4},
                  text);
}

/// Share the row among its bars and place their chords.
static void lay_out_row(Row* r, double x, double width) {
  double wants[2 * WAY_SHEET_BARS], widths[2 * WAY_SHEET_BARS];
  for (uint32_t i = 0; i < r->n; ++i)
    wants[i] = way_sheet_line_wants(r->s, r->first + i);
  way_spread_row(wants, r->n, r->s->line_bars, width, widths);
  r->scale = 1;
  for (uint32_t i = 0; i < r->n; x += widths[i++]) {
    Bar* const bar = &r->bars[i];
    *bar = (Bar){.index = r->first + i, .x = x, .width = widths[i]};
    lay_out(r, bar);
    if (bar->scale < r->scale) r->scale = bar->scale;
  }
}

void way_sheet_line(const WaySheetPen* pen, const WayBlock* b) {
  Row r = {.pen = pen, .s = pen->sheet, .top = b->box.y, .first = b->first, .n = b->n};
  r.at = (WayStaffPlace){b->box.y + STAFF_BOTTOM, SPACE};
  way_chip_source(pen->cr, pen->theme.ink);
  const double front = paint_front(&r, b->box.x);
  lay_out_row(&r, b->box.x + front, b->box.width - front);
  paint_section(&r, b->box.x, front);
  way_chip_source(pen->cr, pen->theme.soft);
  const Bar* const last = &r.bars[r.n - 1];
  way_staff_lines(pen->cr, &r.at, b->box.x, last->x + last->width);
  for (uint32_t i = 0; i < r.n; ++i) {
    const Bar* const bar = &r.bars[i];
    paint_bar(&r, bar);
    way_chip_source(pen->cr, pen->theme.ink);
    way_staff_bar_line(pen->cr, &r.at, bar->x + bar->width,
                       bar->index + 1 == r.s->form->n_bars);
  }
}
