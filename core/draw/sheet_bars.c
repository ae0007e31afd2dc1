#include "draw/sheet_bars.h"

#include "chart/chart_unroll.h"
#include "theory/chord_name.h"

#include <stdio.h>
#include <string.h>

#define TURN 6.283185307179586
#define GUTTER 34.0 // for a short name of a section
#define GUTTER_MOST 84.0
#define LETTER 6.2 // of a longer name
#define SHORT 3u   // letters of a short one
#define RAIL 26.0  // the line, below the top of the row
#define REPEAT 9.0 // width of a repeat sign
#define PAD 6.0    // between a stroke and what follows

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

/// A planned landing: the target's halo around its degree.
static double target(const WaySheetPen* pen, double x, double y, WayDegree degree) {
  char text[WAY_SPELLING_MAX], label[4 * WAY_SPELLING_MAX];
  WayOut plain = way_out(text, sizeof(text)), out = way_out(label, sizeof(label));
  way_role_degree_write(degree, &plain);
  way_label_signs(text, &out);
  cairo_new_sub_path(pen->cr);
  cairo_arc(pen->cr, x + 7, y, 6, 0, TURN);
  way_chip_source(pen->cr, pen->theme.edge);
  cairo_set_line_width(pen->cr, 2.4);
  cairo_stroke_preserve(pen->cr);
  way_chip_source(pen->cr, pen->theme.target);
  cairo_set_line_width(pen->cr, 1.3);
  cairo_stroke(pen->cr);
  way_sheet_label(pen, x + 7, y, pen->theme.ink,
                  &(WayLabelStyle){7, false, WAY_ALIGN_CENTRE, 9}, label);
  return 15;
}

static void chord(const WaySheetPen* pen, const Place* p, const WayChartSlot* slot,
                  const WayChord* next, WayTick in_bar, WayBox box) {
  char text[WAY_SYMBOL_MAX * 3];
  WayOut out = way_out(text, sizeof(text));
  const double room = box.width - PAD - 2 - (slot->target.number ? 15 : 0);
  way_chord_write(&slot->chord, &out);
  way_chip_source(pen->cr, pen->theme.ink);
  const double end =
      box.x + PAD +
      way_label_symbol(pen->cr, box.x + PAD, p->box.y + RAIL - 13,
                       &(WayLabelStyle){16, true, WAY_ALIGN_LEFT, room}, text);
  if (slot->target.number) target(pen, end + 1, p->box.y + RAIL - 13, slot->target);
  if (way_chord_is_none(&slot->chord)) return;
  out = way_out(text, sizeof(text));
  way_sheet_numeral(&slot->chord, next, key_at(pen->sheet, p, in_bar), &out);
  way_sheet_label(pen, box.x + PAD, p->box.y + RAIL + 11, pen->theme.soft,
                  &(WayLabelStyle){9, false, WAY_ALIGN_LEFT, box.width - PAD - 2},
                  text);
}

/// The chord written after a slot; NULL at the end and before silence.
static const WayChord* after(const WayChart* c, uint32_t slot) {
  for (uint32_t i = slot + 1; i < c->n_slots; ++i)
    if (c->slots[i].kind != WAY_SLOT_REPEAT)
      return way_chord_is_none(&c->slots[i].chord) ? NULL : &c->slots[i].chord;
  return NULL;
}

static void chords(const WaySheetPen* pen, const Place* p) {
  const WayChart* const c = pen->sheet->chart;
  const WayChartBar* const bar = &c->bars[p->bar];
  if (c->slots[bar->first_slot].kind == WAY_SLOT_REPEAT) {
    again(pen, p->box.x + p->box.width / 2, p->box.y + RAIL);
    return;
  }
  WayTick starts[WAY_CHART_SHARES_MAX + 1];
  way_chart_bar_starts(c, p->bar, p->section->metre, starts);
  const double tick = (p->box.width - 2) / (double)starts[bar->n_slots];
  for (uint32_t i = 0; i < bar->n_slots; ++i) {
    const uint32_t slot = bar->first_slot + i;
    const double in = bar->repeat_open && !i ? REPEAT : 0;
    const WayBox box = {p->box.x + tick * (double)starts[i] + in, p->box.y,
                        tick * (double)(starts[i + 1] - starts[i]) - in, p->box.height};
    chord(pen, p, &c->slots[slot], after(c, slot), starts[i], box);
  }
}

/// The section's name, and its key and metre where they are its own.
static void gutter(const WaySheetPen* pen, const WayChartSection* section, double x,
                   double y, double width) {
  char text[64];
  const double size = strlen(section->name) > SHORT ? 9.5 : 14;
  const WayLabelStyle small = {7, false, WAY_ALIGN_LEFT, width - 6};
  way_sheet_label(pen, x, y, pen->theme.ink,
                  &(WayLabelStyle){size, true, WAY_ALIGN_LEFT, width - 8},
                  section->name);
  double down = y + 12;
  if (section->key_given) {
    WayOut out = way_out(text, sizeof(text));
    way_sheet_key(section->key, &out);
    way_sheet_label(pen, x, down, pen->theme.soft, &small, text);
    down += 8;
  }
  if (section->metre_given) {
    snprintf(text, sizeof(text), "%u/%u", section->metre.beats, section->metre.unit);
    way_sheet_label(pen, x, down, pen->theme.soft, &small, text);
  }
}

/// The width beside the bars: none, if no section has anything to say there.
static double gutter_width(const WayChart* c) {
  double width = 0;
  for (uint32_t i = 0; i < c->n_sections; ++i) {
    const WayChartSection* const s = &c->sections[i];
    const uint32_t letters = (uint32_t)strlen(s->name);
    double wants = letters || s->key_given || s->metre_given ? GUTTER : 0;
    if (letters > SHORT && letters * LETTER + 8 > wants) wants = letters * LETTER + 8;
    if (wants > width) width = wants;
  }
  return width < GUTTER_MOST ? width : GUTTER_MOST;
}

void way_sheet_bars(const WaySheetPen* pen, const WayBlock* b) {
  const WayChart* const c = pen->sheet->chart;
  const WayChartSection* const section = section_of(c, b->first);
  const double beside = gutter_width(c);
  const double left = b->box.x + beside,
               width = (b->box.width - beside) / WAY_SHEET_BARS;
  const double y = b->box.y + RAIL;
  if (beside > 0 && b->first == section->first_bar)
    gutter(pen, section, b->box.x, y, beside);
  way_sheet_rule(pen, left, y, left + b->n * width, y, 0.8, pen->theme.hair);
  for (uint32_t i = 0; i < b->n; ++i) {
    const uint32_t bar = b->first + i;
    const Place p = {section, bar, {left + i * width, b->box.y, width, b->box.height}};
    const bool opens = c->bars[bar].repeat_open, closes = c->bars[bar].repeat_close;
    const bool next_opens = i + 1 < b->n && c->bars[bar + 1].repeat_open;
    if (!i || opens) edge(pen, p.box.x, y, opens, false);
    if (closes || !next_opens)
      edge(pen, p.box.x + width, y, closes ? -1 : 0, bar + 1 == c->n_bars);
    if (c->bars[bar].endings) ending(pen, &c->bars[bar], p.box);
    chords(pen, &p);
  }
}
