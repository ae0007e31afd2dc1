#include "draw/sheet_board.h"

#include "draw/measure.h"
#include "draw/sheet_stage.h"
#include "theory/chord_write.h"

#define GAP 26.0 // between cells
#define HEADING 18.0
#define HEADING_NARROW 29.0 // with the subject below the name
#define WORDS 7.8           // size of what to listen to
#define WORDS_LINE 10.4
#define WORDS_MOST 4u
#define DATES 17.0 // from the last line of words to that for dates
#define AFTER 10.0 // free below
#define LABEL 92.0 // width of a chord's name
#define PAIR_GAP 20.0

// ---- Stages.

/// What a stage's diagram is of: a scale, or the chord it shows as an example.
static void subject(const WaySheet* s, unsigned stage, uint32_t column, WayOut* out) {
  const WayMaterial m = way_stage(stage)->material;
  if (column == UINT32_MAX) {
    way_signs_scale(m == WAY_MATERIAL_PENTATONIC ? &s->form->loop.pentatonic
                    : m == WAY_MATERIAL_BLUES    ? &s->form->loop.blues
                                                 : &s->form->loop.parent,
                    out);
    return;
  }
  way_out_str(out, "over ");
  way_signs_symbol(&way_degree_map_harmony(s->map, column)->chord, out);
}

static void paint_words(const WaySheetPen* pen, const char* text, unsigned most,
                        WayBox box) {
  WayText lines[WORDS_MOST];
  const unsigned n = way_measure_wrap(text, WORDS, box.width, most, lines);
  for (unsigned i = 0; i < n; ++i) {
    char line[256];
    WayOut out = way_out(line, sizeof(line));
    way_out_text(&out, lines[i]);
    way_sheet_label(pen, box.x, box.y + (i + 0.5) * WORDS_LINE, pen->theme.soft,
                    &(WayLabelStyle){WORDS, false, WAY_ALIGN_LEFT, box.width}, line);
  }
}

static void paint_stage(const WaySheetPen* pen, unsigned index, WayBox box) {
  const WaySheet* const s = pen->sheet;
  const WayStage* const stage = way_stage(index);
  uint32_t column;
  const WayShown shown = way_sheet_stage_shown(s, index, &column);
  char text[256];
  WayOut out = way_out(text, sizeof(text));
  const unsigned lines = s->narrow ? WORDS_MOST : WORDS_MOST - 1;
  const double name =
      way_sheet_label(pen, box.x, box.y + 6, pen->theme.ink,
                      &(WayLabelStyle){11, true, WAY_ALIGN_LEFT, 0}, stage->name);
  subject(s, index, column, &out);
  if (s->narrow) // below the name
    way_sheet_label(pen, box.x, box.y + 19, pen->theme.soft,
                    &(WayLabelStyle){8, false, WAY_ALIGN_LEFT, box.width}, text);
  else
    way_sheet_label(pen, way_box_right(box), box.y + 6.5, pen->theme.soft,
                    &(WayLabelStyle){8, false, WAY_ALIGN_RIGHT, box.width - name - 8},
                    text);
  const double heading = s->narrow ? HEADING_NARROW : HEADING;
  const double under = lines * WORDS_LINE + DATES + AFTER;
  const WayBox diagram = {box.x, box.y + heading, box.width,
                          box.height - heading - under};
  way_sheet_diagram(pen, &s->look, &s->board, &shown, diagram);
  const double y = way_box_bottom(diagram) + 4;
  paint_words(pen, stage->words, lines, (WayBox){box.x, y, box.width, 0});
  const double dates = y + lines * WORDS_LINE + DATES - 6;
  const double label =
      way_sheet_label(pen, box.x, dates - 3, pen->theme.soft,
                      &(WayLabelStyle){WORDS, false, WAY_ALIGN_LEFT, 0}, "Dates");
  way_sheet_rule(pen, box.x + label + 6, dates, way_box_right(box), dates, 0.6,
                 pen->theme.soft);
}

void way_sheet_stages(const WaySheetPen* pen, const WayBlock* b) {
  for (uint32_t i = 0; i < b->n; ++i)
    paint_stage(pen, b->first + i, way_sheet_cell(b->box, i, WAY_SHEET_STAGES, GAP));
}

// ---- Chords.

void way_sheet_chord(const WaySheetPen* pen, const WayBlock* b) {
  const WaySheet* const s = pen->sheet;
  const WayHarmony* const h = way_degree_map_harmony(s->map, b->first);
  const WayHarmony* const next =
      way_degree_map_harmony(s->map, s->map->columns[b->first].next);
  const double x = b->box.x, middle = b->box.y + (b->box.height - 20) / 2;
  const double width = LABEL - 12;
  char text[3 * WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(&h->chord, &out);
  way_chip_source(pen->cr, pen->theme.ink);
  way_label_symbol(pen->cr, x, middle - 16,
                   &(WayLabelStyle){19, true, WAY_ALIGN_LEFT, width}, text);
  out = way_out(text, sizeof(text));
  way_signs_numeral(&h->chord, &next->chord, h->key, &out);
  way_sheet_label(pen, x, middle + 2, pen->theme.soft,
                  &(WayLabelStyle){9.5, false, WAY_ALIGN_LEFT, width}, text);
  out = way_out(text, sizeof(text));
  way_signs_notes(h, way_chord_pcs(&h->chord), &out);
  way_sheet_label(pen, x, middle + 17, pen->theme.ink,
                  &(WayLabelStyle){8.5, false, WAY_ALIGN_LEFT, width}, text);
  const WayBox pair = {x + LABEL, b->box.y, b->box.width - LABEL, b->box.height - 12};
  WayShown shown = way_shown_chord(h);
  shown.by_name = s->look.by_name;
  way_sheet_diagram(pen, &s->look, &s->board, &shown,
                    way_sheet_cell(pair, 0, 2, PAIR_GAP));
  shown = way_shown_material(h, WAY_MATERIAL_CHORD_SCALE);
  shown.by_name = s->look.by_name;
  way_sheet_diagram(pen, &s->look, &s->board, &shown,
                    way_sheet_cell(pair, 1, 2, PAIR_GAP));
}

// ---- Positions.

void way_sheet_position_words(const WayPosition* p, WayOut* out) {
  way_out_str(out, "position ");
  way_out_int(out, p->position);
  if (p->stretches) {
    way_out_str(out, ", ");
    way_out_int(out, p->stretches);
    way_out_str(out, p->stretches == 1 ? " stretch" : " stretches");
  }
  if (p->gaps) {
    way_out_str(out, ", ");
    way_out_int(out, p->gaps);
    way_out_str(out, " out of reach");
  }
}

void way_sheet_up_the_neck(const WaySheetPen* pen, const WayBlock* b) {
  const WaySheet* const s = pen->sheet;
  WayShown shown = way_shown_scale(&s->form->loop.parent);
  shown.by_name = s->look.by_name;
  for (uint32_t i = 0; i < b->n; ++i) {
    const WayPosition* const p = &s->positions[b->first + i];
    const WayBox box = way_sheet_cell(b->box, i, WAY_SHEET_POSITIONS, PAIR_GAP);
    char text[64];
    WayOut out = way_out(text, sizeof(text));
    way_sheet_position_words(p, &out);
    way_sheet_label(pen, box.x, box.y + 5, pen->theme.soft,
                    &(WayLabelStyle){8.5, true, WAY_ALIGN_LEFT, box.width}, text);
    WayFretboard board = s->board;
    board.first = p->first;
    board.last = p->last;
    way_sheet_diagram(pen, &s->look, &board, &shown,
                      (WayBox){box.x, box.y + 14, box.width, box.height - 30});
  }
}
