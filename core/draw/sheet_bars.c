#include "draw/sheet_bars.h"

#include "chart/chart_walk.h"
#include "draw/measure.h"
#include "draw/spread.h"
#include "theory/chord_write.h"

#include <stdio.h>
#include <string.h>

#define TURN 6.283185307179586
#define RAIL 26.0  // the line, below the top of the row
#define REPEAT 9.0 // width of a repeat sign
#define PAD 6.0    // between a stroke and what follows
#define GAP 7.0    // between chords
#define TARGET 15.0
#define NAME_LINES 3u // of a section's long name

/// One bar on the page.
typedef struct {
  const WayChartSection* section;
  uint32_t bar;
  WayBox box;
} Place;

static const WayChartSection* section_of(const WayChart* c, uint32_t bar) {
  uint32_t i = 0;
  while (i + 1 < c->n_sections && c->sections[i + 1].first_bar <= bar) ++i;
  return &c->sections[i];
}

static void dots(const WaySheetPen* pen, double x, double y) {
  for (int side = -1; side <= 1; side += 2) {
    cairo_new_sub_path(pen->cr);
    cairo_arc(pen->cr, x, y + 5 * side, 1.5, 0, TURN);
    cairo_fill(pen->cr);
  }
}

/// A stroke at a bar's edge; `side` is 1 where a repeat begins, -1 where it ends.
static void edge(const WaySheetPen* pen, double x, double y, int side, bool last) {
  const WayColour ink = pen->theme.ink;
  if (side) {
    way_sheet_rule(pen, x + side, y - 11, x + side, y + 11, 2.6, ink);
    way_sheet_rule(pen, x + 4 * side, y - 11, x + 4 * side, y + 11, 0.8, ink);
    dots(pen, x + 8 * side, y);
  } else if (last) {
    way_sheet_rule(pen, x - 1, y - 11, x - 1, y + 11, 2.6, ink);
    way_sheet_rule(pen, x - 4, y - 11, x - 4, y + 11, 0.8, ink);
  } else {
    way_sheet_rule(pen, x, y - 8, x, y + 8, 0.9, ink);
  }
}

static void ending(const WaySheetPen* pen, const WayChartBar* bar, WayBox box) {
  char text[4 * WAY_CHART_ENDING_MAX];
  WayOut out = way_out(text, sizeof(text));
  for (int i = 0; i < (int)WAY_CHART_ENDING_MAX; ++i)
    if (bar->endings >> i & 1) {
      if (out.size) way_out_str(&out, ", ");
      way_out_int(&out, i + 1);
      way_out_char(&out, '.');
    }
  const double y = box.y - 6, x = box.x + 3;
  way_sheet_rule(pen, x, y, way_box_right(box) - 6, y, 0.7, pen->theme.soft);
  way_sheet_rule(pen, x, y, x, y + 7, 0.7, pen->theme.soft);
  way_sheet_label(pen, x + 3, y + 5, pen->theme.soft,
                  &(WayLabelStyle){7, false, WAY_ALIGN_LEFT, 0}, text);
}

/// The sign for "the bar before once more".
static void again(const WaySheetPen* pen, double x, double y) {
  way_sheet_rule(pen, x - 5, y + 6, x + 5, y - 6, 2.2, pen->theme.ink);
  for (int side = -1; side <= 1; side += 2) {
    cairo_new_sub_path(pen->cr);
    cairo_arc(pen->cr, x + 5.5 * side, y + 3 * side, 1.5, 0, TURN);
    cairo_fill(pen->cr);
  }
}

static WayKey key_at(const WaySheet* s, const Place* p, WayTick in_bar) {
  const uint32_t played = s->played[p->bar];
  if (played == UINT32_MAX) return p->section->key;
  const WayTick tick = s->form->bars[played].start + in_bar;
  return way_timeline_harmony(s->form, way_timeline_at(s->form, tick).span)->key;
}

/// The chord written after a slot; NULL at the end and before silence.
static const WayChord* after(const WayChart* c, uint32_t slot) {
  for (uint32_t i = slot + 1; i < c->n_slots; ++i)
    if (c->slots[i].kind != WAY_SLOT_REPEAT)
      return way_chord_is_none(&c->slots[i].chord) ? NULL : &c->slots[i].chord;
  return NULL;
}

/// The chords of a bar as they stand on the page.
typedef struct {
  WayTick ticks[WAY_CHART_SHARES_MAX + 1]; ///< Where each begins in the bar
  double x[WAY_CHART_SHARES_MAX];          ///< From the bar's left edge
  double scale;
} Chords;

static void symbol_text(const WayChartSlot* slot, char* text, size_t room) {
  WayOut out = way_out(text, room);
  way_chord_write(&slot->chord, &out);
}

static void numeral_text(const WaySheetPen* pen, const Place* p, uint32_t slot,
                         WayTick in_bar, char* text, size_t room) {
  const WayChart* const c = pen->sheet->chart;
  WayOut out = way_out(text, room);
  way_signs_numeral(&c->slots[slot].chord, after(c, slot),
                    key_at(pen->sheet, p, in_bar), &out);
}

static const WayLabelStyle symbol_style = {16, true, WAY_ALIGN_LEFT, 0};
static const WayLabelStyle numeral_style = {9, false, WAY_ALIGN_LEFT, 0};

/// The width of a chord with its numeral and target.
static double chord_width(const WaySheetPen* pen, const Place* p, uint32_t index,
                          WayTick in_bar) {
  const WayChartSlot* const slot = &pen->sheet->chart->slots[index];
  char text[WAY_SYMBOL_MAX * 3];
  symbol_text(slot, text, sizeof(text));
  const double symbol = way_label_symbol_width(pen->cr, &symbol_style, text) +
                        (slot->target.number ? TARGET : 0);
  if (way_chord_is_none(&slot->chord)) return symbol + GAP;
  numeral_text(pen, p, index, in_bar, text, sizeof(text));
  const double numeral = way_label_width(pen->cr, &numeral_style, text);
  return (symbol > numeral ? symbol : numeral) + GAP;
}

static bool is_again(const WaySheetPen* pen, const Place* p) {
  const WayChart* const c = pen->sheet->chart;
  return c->slots[c->bars[p->bar].first_slot].kind == WAY_SLOT_REPEAT;
}

/// Place the chords of a bar at their beats, or as near as they fit.
static Chords place_chords(const WaySheetPen* pen, const Place* p) {
  const WayChart* const c = pen->sheet->chart;
  const WayChartBar* const bar = &c->bars[p->bar];
  Chords all = {.scale = 1};
  double width[WAY_CHART_SHARES_MAX];
  if (is_again(pen, p)) return all;
  way_chart_bar_starts(c, p->bar, p->section->metre, all.ticks);
  const double tick = p->box.width / (double)all.ticks[bar->n_slots];
  const double front = PAD + (bar->repeat_open ? REPEAT : 0);
  for (uint32_t i = 0; i < bar->n_slots; ++i) {
    all.x[i] = tick * (double)all.ticks[i];
    width[i] = chord_width(pen, p, bar->first_slot + i, all.ticks[i]);
  }
  const double end = bar->repeat_close ? REPEAT + 2 : 0;
  all.scale = way_spread(all.x, width, bar->n_slots, p->box.width - front - end, all.x);
  for (uint32_t i = 0; i < bar->n_slots; ++i) all.x[i] += front;
  return all;
}

static void chord(const WaySheetPen* pen, const Place* p, uint32_t index,
                  WayTick in_bar, double x, double scale) {
  const WayChartSlot* const slot = &pen->sheet->chart->slots[index];
  char text[WAY_SYMBOL_MAX * 3];
  WayLabelStyle style = symbol_style;
  style.size *= scale;
  symbol_text(slot, text, sizeof(text));
  way_chip_source(pen->cr, pen->theme.ink);
  const double y = p->box.y + RAIL - 13;
  const double end = x + way_label_symbol(pen->cr, x, y, &style, text);
  if (slot->target.number) way_sheet_target(pen, end + 8, y, slot->target);
  if (way_chord_is_none(&slot->chord)) return;
  numeral_text(pen, p, index, in_bar, text, sizeof(text));
  style = numeral_style;
  style.size *= scale;
  way_sheet_label(pen, x, p->box.y + RAIL + 11, pen->theme.soft, &style, text);
}

static void chords(const WaySheetPen* pen, const Place* p, const Chords* all,
                   double scale) {
  if (is_again(pen, p)) {
    again(pen, p->box.x + p->box.width / 2, p->box.y + RAIL);
    return;
  }
  const WayChartBar* const bar = &pen->sheet->chart->bars[p->bar];
  for (uint32_t i = 0; i < bar->n_slots; ++i)
    chord(pen, p, bar->first_slot + i, all->ticks[i], p->box.x + all->x[i], scale);
}

/// The section's name, and its key and metre where they are its own.
static void gutter(const WaySheetPen* pen, const WayChartSection* section, double x,
                   double y, double width) {
  char text[WAY_NAME_MAX + 1];
  const bool brief = strlen(section->name) <= WAY_SHEET_SHORT;
  const WayLabelStyle small = {7, false, WAY_ALIGN_LEFT, width - 6};
  WayLabelStyle style = {brief ? 14 : 9.5, true, WAY_ALIGN_LEFT, width - 8};
  WayText lines[NAME_LINES] = {way_text(section->name)};
  unsigned n = 1;
  if (!brief && way_label_width(pen->cr, &(WayLabelStyle){9.5, true, WAY_ALIGN_LEFT, 0},
                                section->name) > 1.1 * (width - 8)) {
    style.size = 8;
    n = way_measure_wrap(section->name, 1.2 * style.size, width - 8, NAME_LINES, lines);
  }
  double down = y - (n - 1) * 4.5;
  for (unsigned i = 0; i < n; ++i, down += 9) {
    WayOut out = way_out(text, sizeof(text));
    way_out_text(&out, lines[i]);
    way_sheet_label(pen, x, down, pen->theme.ink, &style, text);
  }
  down += 3;
  if (section->key_given) {
    WayOut out = way_out(text, sizeof(text));
    way_signs_key(section->key, &out);
    way_sheet_label(pen, x, down, pen->theme.soft, &small, text);
    down += 8;
  }
  if (section->metre_given) {
    snprintf(text, sizeof(text), "%u/%u", section->metre.beats, section->metre.unit);
    way_sheet_label(pen, x, down, pen->theme.soft, &small, text);
  }
}

static void bar_edges(const WaySheetPen* pen, const WayBlock* b, const Place* p) {
  const WayChartBar* const bars = pen->sheet->chart->bars;
  const uint32_t bar = p->bar;
  const double y = p->box.y + RAIL;
  const bool opens = bars[bar].repeat_open, closes = bars[bar].repeat_close;
  const bool next_opens = bar + 1 < b->first + b->n && bars[bar + 1].repeat_open;
  if (bar == b->first || opens) edge(pen, p->box.x, y, opens, false);
  if (closes || !next_opens)
    edge(pen, way_box_right(p->box), y, closes ? -1 : 0,
         bar + 1 == pen->sheet->chart->n_bars);
  if (bars[bar].endings) ending(pen, &bars[bar], p->box);
}

void way_sheet_bars(const WaySheetPen* pen, const WayBlock* b) {
  const WayChart* const c = pen->sheet->chart;
  const WayChartSection* const section = section_of(c, b->first);
  const double beside = way_sheet_gutter(c), y = b->box.y + RAIL;
  double x = b->box.x + beside, scale = 1;
  double wants[WAY_SHEET_BARS], widths[WAY_SHEET_BARS];
  Place places[WAY_SHEET_BARS];
  Chords all[WAY_SHEET_BARS];
  for (uint32_t i = 0; i < b->n; ++i)
    wants[i] = way_sheet_bar_wants(pen->sheet, b->first + i);
  // Only the last row of a section may be short.
  const bool last = b->first + b->n == section->first_bar + section->n_bars;
  way_spread_row(wants, b->n, last ? WAY_SHEET_BARS : b->n, b->box.width - beside,
                 widths);
  for (uint32_t i = 0; i < b->n; x += widths[i++]) {
    places[i] = (Place){section, b->first + i, {x, b->box.y, widths[i], b->box.height}};
    all[i] = place_chords(pen, &places[i]);
    if (all[i].scale < scale) scale = all[i].scale; // one size a row
  }
  if (beside > 0 && b->first == section->first_bar)
    gutter(pen, section, b->box.x, y, beside);
  way_sheet_rule(pen, b->box.x + beside, y, x, y, 0.8, pen->theme.hair);
  for (uint32_t i = 0; i < b->n; ++i) {
    bar_edges(pen, b, &places[i]);
    chords(pen, &places[i], &all[i], scale);
  }
}
