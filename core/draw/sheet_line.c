#include "draw/sheet_line.h"

#include "draw/staff_paint.h"
#include "theory/chord_name.h"

#define SPACE 5.2
#define STAFF_BOTTOM 46.0 // below the top of the row
#define SYMBOLS 8.0
#define DEGREES 67.0
#define LEAD 15.0 // between a bar line and the first note
#define TAIL 4.0

/// One row.
typedef struct {
  const WaySheetPen* pen;
  const WaySheet* s;
  WayStaffPlace at;
  double top;  ///< Of the row
  double left; ///< Of the first bar
  double bar;  ///< Width of a bar
  uint32_t first, n;
} Row;

static WayTick bar_end(const WaySheet* s, uint32_t bar) {
  return bar + 1 < s->form->n_bars ? s->form->bars[bar + 1].start : s->form->length;
}

static WayTick span_end(const WaySheet* s, uint32_t span) {
  return span + 1 < s->form->n_spans ? s->form->spans[span + 1].start : s->form->length;
}

/// Where a tick of a bar stands.
static double x_of(const Row* r, uint32_t bar, WayTick tick) {
  const WayTick start = r->s->form->bars[bar].start;
  const double part = (double)(tick - start) / (double)(bar_end(r->s, bar) - start);
  return r->left + (bar - r->first) * r->bar + LEAD + part * (r->bar - LEAD - TAIL);
}

static void words(const Row* r, uint32_t span, double x, double room, bool goes_on) {
  const WayHarmony* const h = way_timeline_harmony(r->s->form, span);
  const WayLineTone* const tone = &r->s->line[span];
  const WayTheme* const theme = &r->pen->theme;
  char text[3 * WAY_SYMBOL_MAX], degree[WAY_SPELLING_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(&h->chord, &out);
  way_chip_source(r->pen->cr, goes_on ? theme->soft : theme->ink);
  way_label_symbol(r->pen->cr, x - 4, r->top + SYMBOLS,
                   &(WayLabelStyle){11.5, !goes_on, WAY_ALIGN_LEFT, room}, text);
  if (goes_on || tone->pitch == WAY_LINE_SILENT) return;
  WayOut plain = way_out(degree, sizeof(degree));
  way_role_degree_write(tone->degree, &plain);
  out = way_out(text, sizeof(text));
  way_label_signs(degree, &out);
  way_sheet_label(r->pen, x, r->top + DEGREES, theme->soft,
                  &(WayLabelStyle){8.5, true, WAY_ALIGN_CENTRE, 0}, text);
}

/// What one bar hears of one chord.
typedef struct {
  uint32_t span, bar;
  WayTick from, to;
} Piece;

/// Paint the values of a piece, tied.  @param bar The accidentals in force.
static void notes(const Row* r, Piece p, WayStaffBar* bar) {
  const WaySheet* const s = r->s;
  cairo_t* const cr = r->pen->cr;
  const WayLineTone* const tone = &s->line[p.span];
  const WaySpelling note = way_spelling_above(
      way_timeline_harmony(s->form, p.span)->chord.root, tone->degree);
  const int step = way_staff_step(s->clef, note, tone->pitch);
  const bool goes_on = p.from > s->form->spans[p.span].start;
  double x = x_of(r, p.bar, p.from);
  if (!goes_on && way_staff_accidental(bar, note, step))
    way_staff_alter(cr, &r->at, x - 0.85 * SPACE, step, note.alter);
  if (goes_on && p.bar == r->first) way_staff_tie(cr, &r->at, x - LEAD - 2, x, step);
  WayStaffValue values[WAY_VALUES_MAX];
  const unsigned n = way_staff_values(p.to - p.from, values);
  if (!n) way_staff_note(cr, &r->at, x, step, NULL);
  WayTick tick = p.from;
  for (unsigned i = 0; i < n; ++i) {
    x = x_of(r, p.bar, tick);
    way_staff_note(cr, &r->at, x, step, &values[i]);
    tick += values[i].ticks;
    if (i + 1 < n) way_staff_tie(cr, &r->at, x, x_of(r, p.bar, tick), step);
  }
  if (p.to == span_end(s, p.span)) return;
  // It goes on in the next bar, or on the next row.
  const bool in_row = p.bar + 1 < r->first + r->n;
  const double right = r->left + (p.bar + 1 - r->first) * r->bar;
  way_staff_tie(cr, &r->at, x, in_row ? x_of(r, p.bar + 1, p.to) : right + 2, step);
}

static void paint_bar(const Row* r, uint32_t index) {
  const WaySheet* const s = r->s;
  const WayTick from = s->form->bars[index].start, to = bar_end(s, index);
  uint32_t span = way_timeline_at(s->form, from).span;
  WayStaffBar bar = way_staff_bar(s->clef, way_timeline_harmony(s->form, span)->key);
  for (; span < s->form->n_spans && s->form->spans[span].start < to; ++span) {
    const WayTick start = s->form->spans[span].start, end = span_end(s, span);
    const Piece p = {span, index, start > from ? start : from, end < to ? end : to};
    const double x = x_of(r, index, p.from);
    const bool goes_on = start < from;
    if (!goes_on || index == r->first)
      words(r, span, x, x_of(r, index, p.to) - x + (end < to ? -1 : LEAD - 4), goes_on);
    way_chip_source(r->pen->cr, r->pen->theme.ink);
    if (s->line[span].pitch == WAY_LINE_SILENT)
      way_staff_rest(r->pen->cr, &r->at, (x + x_of(r, index, p.to)) / 2);
    else
      notes(r, p, &bar);
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
  if (!r->first || before.beats != m.beats || before.unit != m.unit)
    width += way_staff_metre(r->pen->cr, &r->at, x + width, m);
  return width;
}

/// The name of the section that begins with the row.
static void paint_section(const Row* r, double x, double room) {
  const WayTimeline* const t = r->s->form;
  const WaySection* const section = &t->sections[t->bars[r->first].section];
  if (section->first_bar == r->first)
    way_sheet_label(r->pen, x, r->top + SYMBOLS, r->pen->theme.soft,
                    &(WayLabelStyle){10, true, WAY_ALIGN_LEFT, room}, section->name);
}

void way_sheet_line(const WaySheetPen* pen, const WayBlock* b) {
  Row r = {.pen = pen, .s = pen->sheet, .top = b->box.y, .first = b->first, .n = b->n};
  r.at = (WayStaffPlace){b->box.y + STAFF_BOTTOM, SPACE};
  way_chip_source(pen->cr, pen->theme.ink);
  const double front = paint_front(&r, b->box.x);
  r.left = b->box.x + front;
  r.bar = (b->box.width - front) / pen->sheet->line_bars;
  paint_section(&r, b->box.x, front);
  way_chip_source(pen->cr, pen->theme.soft);
  way_staff_lines(pen->cr, &r.at, b->box.x, r.left + r.n * r.bar);
  for (uint32_t i = 0; i < r.n; ++i) {
    const uint32_t bar = r.first + i;
    paint_bar(&r, bar);
    way_chip_source(pen->cr, pen->theme.ink);
    way_staff_bar_line(pen->cr, &r.at, r.left + (i + 1) * r.bar,
                       bar + 1 == r.s->form->n_bars);
  }
}
