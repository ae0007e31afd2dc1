#include "draw/sheet_paint.h"

#include "draw/sheet_bars.h"
#include "draw/sheet_board.h"
#include "draw/sheet_line.h"
#include "draw/sheet_map.h"

#include <stdio.h>
#include <string.h>

#define FOOTER 28.0 // from the bottom edge
#define HEADER 28.0 // from the top edge

/// What the head of a part says.
static const struct {
  const char *name, *words;
  bool legend;
} parts[WAY_PART_COUNT] = {
    [WAY_PART_CHART] = {"", "", false},
    [WAY_PART_LINE] = {"Guide-tone line",
                       "One tone a chord, thirds and sevenths first, moving as little "
                       "as it can. Sing it before you play it.",
                       false},
    [WAY_PART_STAGES] =
        {"Stages of practice",
         "Take as long as you like with each, and write down the dates.", true},
    [WAY_PART_CHORDS] = {"Chord by chord",
                         "Left the tones of each chord (stages 3 and 4), right its "
                         "scale (stages 5, 6 and 7). The hand stays where it is.",
                         true},
    [WAY_PART_MAP] = {"Degree map",
                      "What each note of the scale is over each chord. A bar joins "
                      "tones that stay.",
                      true},
    [WAY_PART_CHANGES] = {"What each change brings", "", false},
    [WAY_PART_POSITIONS] = {"Up the neck",
                            "The same scale in every position that holds it.", true},
};

static const char* title_of(const WaySheet* s) {
  return s->chart->title[0] ? s->chart->title : "A tune to practise";
}

/// The order of sections; a comma between names of several letters.
static void put_form(const WayChart* c, WayOut* out) {
  bool letters = true;
  for (uint32_t i = 0; i < c->n_form; ++i)
    letters &= strlen(c->sections[c->form[i]].name) == 1;
  for (uint32_t i = 0; i < c->n_form; ++i) {
    way_out_str(out, !i || letters ? " " : ", ");
    way_out_str(out, c->sections[c->form[i]].name);
  }
}

static bool has_targets(const WayChart* c) {
  for (uint32_t i = 0; i < c->n_slots; ++i)
    if (c->slots[i].target.number) return true;
  return false;
}

static void paint_title(const WaySheetPen* pen, const WayBlock* b) {
  const WayChart* const c = pen->sheet->chart;
  char text[512];
  WayOut out = way_out(text, sizeof(text));
  way_chip_source(pen->cr, pen->theme.ink);
  way_label(pen->cr, b->box.x, b->box.y + 14,
            &(WayLabelStyle){27, true, WAY_ALIGN_LEFT, b->box.width},
            title_of(pen->sheet));
  way_signs_key(pen->sheet->form->key, &out);
  way_out_str(&out, "   \u00B7   ");
  way_out_int(&out, c->metre.beats);
  way_out_char(&out, '/');
  way_out_int(&out, c->metre.unit);
  char tempo[32];
  snprintf(tempo, sizeof(tempo), "%.6g", c->tempo);
  way_out_str(&out, "   \u00B7   \u2669 = ");
  way_out_str(&out, tempo);
  if (c->n_form) {
    way_out_str(&out, "   \u00B7   form ");
    put_form(c, &out);
  }
  way_chip_source(pen->cr, pen->theme.soft);
  way_label(pen->cr, b->box.x, b->box.y + 41,
            &(WayLabelStyle){10.5, false, WAY_ALIGN_LEFT, b->box.width}, text);
  if (!has_targets(c)) return;
  const double right = way_box_right(b->box), y = b->box.y + 60;
  const double width = way_sheet_label(pen, right, y, pen->theme.soft,
                                       &(WayLabelStyle){7.8, false, WAY_ALIGN_RIGHT, 0},
                                       "the tone to land on");
  way_sheet_target(pen, right - width - 10, y, (WayDegree){3, 0});
}

/// What the signs mean, from the right edge inward.
static void paint_legend(const WaySheetPen* pen, double right, double y) {
  static const struct {
    WayRoleOf what;
    const char *sign, *text;
  } entries[] = {
      {{WAY_ROLE_CHROMATIC, 1, false, {9, -1}}, "\u266D9", "neither"},
      {{WAY_ROLE_SCALE, 2, false, {9, 0}}, "9", "scale tone"},
      {{WAY_ROLE_CHORD, 4, false, {3, 0}}, "3", "chord tone, or a scale's root"},
  };
  for (size_t i = 0; i < WAY_COUNT(entries); ++i) {
    right -= way_sheet_label(pen, right, y, pen->theme.soft,
                             &(WayLabelStyle){7.8, false, WAY_ALIGN_RIGHT, 0},
                             entries[i].text);
    way_sheet_chip(pen, right - 10, y, 6.2, entries[i].what, entries[i].sign);
    right -= 30;
  }
}

static void paint_head(const WaySheetPen* pen, const WayBlock* b) {
  const double x = b->box.x;
  way_chip_source(pen->cr, pen->theme.ink);
  way_label(pen->cr, x, b->box.y + 9, &(WayLabelStyle){15, true, WAY_ALIGN_LEFT, 0},
            parts[b->part].name);
  way_chip_source(pen->cr, pen->theme.soft);
  way_label(pen->cr, x, b->box.y + 26,
            &(WayLabelStyle){8.5, false, WAY_ALIGN_LEFT, b->box.width},
            parts[b->part].words);
  if (parts[b->part].legend)
    paint_legend(pen, way_box_right(b->box), b->box.y + (pen->sheet->narrow ? 42 : 9));
}

static void (*const painters[WAY_BLOCK_COUNT])(const WaySheetPen*, const WayBlock*) = {
    [WAY_BLOCK_TITLE] = paint_title,
    [WAY_BLOCK_HEAD] = paint_head,
    [WAY_BLOCK_BARS] = way_sheet_bars,
    [WAY_BLOCK_LINE] = way_sheet_line,
    [WAY_BLOCK_STAGES] = way_sheet_stages,
    [WAY_BLOCK_CHORD] = way_sheet_chord,
    [WAY_BLOCK_MAP] = way_sheet_map,
    [WAY_BLOCK_CHANGES] = way_sheet_changes,
    [WAY_BLOCK_POSITIONS] = way_sheet_up_the_neck,
};

/// The part that goes on from the page before; #WAY_PART_CHART if none does.
static WaySheetPart going_on(const WaySheet* s, uint32_t page) {
  uint32_t i = 0;
  while (i < s->n_blocks && s->blocks[i].page < page) ++i;
  const bool begins = i == s->n_blocks || s->blocks[i].kind == WAY_BLOCK_HEAD;
  return begins ? WAY_PART_CHART : s->blocks[i].part;
}

/// The tune's name above every page but the first, and the part that goes on; below, a
/// word of care and the page.
static void paint_margins(const WaySheetPen* pen, uint32_t page) {
  const WaySheet* const s = pen->sheet;
  const double right = way_box_right(s->body), bottom = s->height - FOOTER;
  char text[32];
  way_chip_source(pen->cr, pen->theme.soft);
  if (page) {
    const double part = way_label(pen->cr, right, HEADER,
                                  &(WayLabelStyle){8.5, false, WAY_ALIGN_RIGHT, 0},
                                  parts[going_on(s, page)].name);
    way_label(pen->cr, s->body.x, HEADER,
              &(WayLabelStyle){8.5, true, WAY_ALIGN_LEFT, s->body.width - part - 12},
              title_of(s));
  }
  way_label(pen->cr, s->body.x, bottom,
            &(WayLabelStyle){7.5, false, WAY_ALIGN_LEFT, s->body.width - 50},
            "Little and often goes far. Let hands and ears rest a few minutes in each "
            "half hour, and stop when something hurts.");
  snprintf(text, sizeof(text), "%u / %u", page + 1, s->n_pages);
  way_label(pen->cr, right, bottom, &(WayLabelStyle){8.5, false, WAY_ALIGN_RIGHT, 0},
            text);
}

void way_sheet_paint(cairo_t* cr, const WaySheet* s, uint32_t page) {
  const WaySheetPen pen = {cr, s, way_sheet_theme(s->look.mono)};
  cairo_save(cr);
  cairo_scale(cr, s->scale, s->scale);
  paint_margins(&pen, page);
  for (uint32_t i = 0; i < s->n_blocks; ++i)
    if (s->blocks[i].page == page) painters[s->blocks[i].kind](&pen, &s->blocks[i]);
  cairo_restore(cr);
}

// ---- Files.

/// Pages in a picture one below the other.
typedef struct {
  const WaySheet* sheet;
  uint32_t first; ///< First page drawn
  uint32_t stack; ///< Pages on one page of the file
} Stack;

static void draw(cairo_t* cr, uint32_t page, const void* what) {
  const Stack* const stack = what;
  for (uint32_t i = 0; i < stack->stack; ++i) {
    way_sheet_paint(cr, stack->sheet, stack->first + page + i);
    cairo_translate(cr, 0, stack->sheet->height * stack->sheet->scale);
  }
}

WayStatus way_sheet_write(const WaySheet* s, uint32_t page, WayCanvasKind kind,
                          char** bytes, size_t* size) {
  const bool pdf = kind == WAY_CANVAS_PDF;
  const uint32_t n = page ? 1 : s->n_pages;
  const Stack stack = {s, page ? page - 1 : 0, pdf ? 1 : n};
  const WayCanvas canvas = {s->width * s->scale,
                            s->height * s->scale * stack.stack,
                            pdf ? n : 1,
                            s->chart->title,
                            draw,
                            &stack};
  return way_canvas_write(&canvas, kind, bytes, size);
}
