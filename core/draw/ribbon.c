#include "draw/ribbon.h"

#define ROW_LEAST 2.35 // heights in units, where letters have size 1
#define ROW_NUMERALS 3.15
#define ROW_MOST 6.0
#define NUMERALS_FROM 0.84 // least size of letters with numerals, in units
#define SIZE_MOST 1.9
#define BAR_LEAST 3.6 // widths in units
#define GUTTER 2.6    // for a section's name
#define MARGIN 0.7    // for what stands on the line's ends

WayTick way_ribbon_bar_length(const WayTimeline* t, uint32_t bar) {
  return way_metre_bar(t->bars[bar].metre);
}

static uint32_t section_bars(const WayTimeline* t, uint32_t section) {
  const uint32_t end =
      section + 1 < t->n_sections ? t->sections[section + 1].first_bar : t->n_bars;
  return end - t->sections[section].first_bar;
}

static uint32_t rows_of(uint32_t bars, uint32_t per_row) {
  return (bars + per_row - 1) / per_row;
}

static uint32_t total_rows(const WayTimeline* t, uint32_t per_row) {
  uint32_t rows = 0;
  for (uint32_t s = 0; s < t->n_sections; ++s)
    rows += rows_of(section_bars(t, s), per_row);
  return rows;
}

static uint32_t row_of_bar(const WayTimeline* t, uint32_t per_row, uint32_t bar) {
  uint32_t rows = 0;
  for (uint32_t s = 0; s < t->n_sections; ++s) {
    const uint32_t n = section_bars(t, s);
    const uint32_t first = t->sections[s].first_bar;
    if (bar < first + n) return rows + (bar - first) / per_row;
    rows += rows_of(n, per_row);
  }
  return 0;
}

/// List the rows shown.
static void fill_rows(WayRibbonLayout* l, const WayTimeline* t) {
  uint32_t row = 0, filled = 0;
  for (uint32_t s = 0; s < t->n_sections && filled < l->n; ++s) {
    const uint32_t bars = section_bars(t, s);
    const uint32_t rows = rows_of(bars, l->per_row);
    for (uint32_t r = l->first > row ? l->first - row : 0; r < rows && filled < l->n;
         ++r) {
      const uint32_t from = r * l->per_row;
      l->rows[filled++] = (WayRibbonRow){
          t->sections[s].first_bar + from,
          bars - from < l->per_row ? bars - from : l->per_row, s, r == 0};
    }
    row += rows;
  }
  l->n = filled;
}

static bool has_names(const WayTimeline* t) {
  for (uint32_t s = 0; s < t->n_sections; ++s)
    if (*t->sections[s].name) return true;
  return false;
}

static double least(double a, double b) { return a < b ? a : b; }

/// The size of letters that `per_row` bars a row allow, if all rows are to be seen.
static double letters(const WayTimeline* t, uint32_t per_row, double width,
                      double high) {
  return least(high / total_rows(t, per_row) / ROW_LEAST, width / per_row / BAR_LEAST);
}

static void choose_rows(WayRibbonLayout* l, const WayTimeline* t, double unit,
                        double width) {
  const double four = letters(t, 4, width, l->box.height);
  const double eight = letters(t, 8, width, l->box.height);
  l->per_row = four >= eight || width / 8 < BAR_LEAST * unit ? 4 : 8;
  l->total = total_rows(t, l->per_row);
  const double most = least(l->box.height / (ROW_LEAST * unit), WAY_RIBBON_ROWS_MAX);
  l->n = most < 1 ? 1 : (uint32_t)most;
  if (l->n > l->total) l->n = l->total;
}

/// Keep the row of the bar in sight, with one row before it where there are three.
static void scroll(WayRibbonLayout* l, const WayTimeline* t, uint32_t bar) {
  const uint32_t row = row_of_bar(t, l->per_row, bar);
  const uint32_t before = l->n > 2 ? 1 : 0;
  l->first = row > before ? row - before : 0;
  if (l->first > l->total - l->n) l->first = l->total - l->n;
}

/// Choose the size of letters that the rows allow, with numerals if they can be read.
static void set_letters(WayRibbonLayout* l, double unit) {
  const bool numerals = l->row / ROW_NUMERALS >= NUMERALS_FROM * unit;
  const double high = l->row / (numerals ? ROW_NUMERALS : ROW_LEAST);
  const double size = least(least(high, 1.25 * l->bar / BAR_LEAST), SIZE_MOST * unit);
  l->symbol = 1.15 * size;
  l->symbol_up = 1.02 * size;
  l->numeral = numerals ? 0.74 * size : 0;
  l->numeral_down = 0.95 * size;
  l->token = 0.6 * size;
  // The letters and the line, centred in the row.
  const double above = l->symbol_up + 0.55 * l->symbol;
  const double below = numerals ? l->numeral_down + 0.5 * l->numeral : l->token;
  l->line = (l->row - above - below) / 2 + above;
}

WayRibbonLayout way_ribbon_layout(const WayTimeline* t, uint32_t bar, double unit,
                                  WayBox box) {
  WayRibbonLayout l = {.box = box, .gutter = (has_names(t) ? GUTTER : MARGIN) * unit};
  const double width = box.width - l.gutter;
  choose_rows(&l, t, unit, width);
  scroll(&l, t, bar);
  fill_rows(&l, t);
  l.bar = width / l.per_row;
  l.row = least(box.height / l.n, ROW_MOST * unit);
  set_letters(&l, unit);
  return l;
}

WayBox way_ribbon_bar(const WayRibbonLayout* l, uint32_t bar) {
  for (uint32_t r = 0; r < l->n; ++r) {
    const WayRibbonRow* const row = &l->rows[r];
    if (bar >= row->bar && bar < row->bar + row->n)
      return (WayBox){l->box.x + l->gutter + (bar - row->bar) * l->bar,
                      l->box.y + r * l->row, l->bar, l->row};
  }
  return (WayBox){0};
}

WayRibbonPoint way_ribbon_point(const WayRibbonLayout* l, const WayTimeline* t,
                                WayTick tick) {
  const uint32_t bar = way_timeline_at(t, tick).bar;
  const WayBox box = way_ribbon_bar(l, bar);
  if (!(box.width > 0)) return (WayRibbonPoint){0};
  const double in =
      (double)(tick - t->bars[bar].start) / (double)way_ribbon_bar_length(t, bar);
  const uint32_t row = (uint32_t)((box.y - l->box.y) / l->row + 0.5);
  return (WayRibbonPoint){true, row, box.x + in * l->bar, box.y + l->line};
}
