#include "view.h"

#include "draw/label.h"
#include "draw/screen_paint.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PATH_HEADING "Path of a chart file"
#define CHART_HEADING "The chart: bars between |, a space between chords"

/// A painter of what lies over the screen.
typedef struct {
  cairo_t* cr;
  const WayModel* m;
  const WayOverLayout* l;
  const WayTheme* theme;
} Over;

static WayLabelStyle letters(const Over* o, double size, bool bold, double most) {
  return (WayLabelStyle){size * o->l->letter, bold, WAY_ALIGN_LEFT, most};
}

static void paint_sheet(const Over* o) {
  const WayBox b = o->l->box;
  way_chip_source(o->cr, o->theme->ground);
  cairo_rectangle(o->cr, b.x, b.y, b.width, b.height);
  cairo_fill_preserve(o->cr);
  way_chip_source(o->cr, o->theme->soft);
  cairo_set_line_width(o->cr, fmax(1, 0.1 * o->l->letter * o->theme->weight));
  cairo_stroke(o->cr);
}

// ---- All choices and keys.

static const struct {
  const char *key, *text;
} help_lines[WAY_HELP_LINES] = {
    {"Tab  \u2190 \u2192", "go from choice to choice"},
    {"\u2191 \u2193  wheel  drag", "change it; a capital letter goes back"},
    {"1 \u2013 8", "a stage of practice, with what to listen for"},
    {"Enter  /", "type or paste a chart"},
    {"p", "open a chart file"},
    {"u", "undo"},
    {"?  Esc", "this list; close it"},
};

/// What a choice is about; a stage says its name.
static const char* words_of(WayChoiceId id, float value) {
  if (id != WAY_CHOICE_STAGE || !(value > WAY_STAGE_OWN)) return way_choice(id)->help;
  return way_stage((unsigned)value - 1)->name + 2; // behind its number
}

static void paint_choice(const Over* o, WayChoiceId id) {
  const WayChoice* const c = way_choice(id);
  const WayBox b = way_over_row(o->l, id);
  const double x = b.x, y = b.y + b.height / 2, w = b.width;
  char value[WAY_CHOICE_TEXT_MAX];
  const char key[] = {c->key, 0};
  WayOut out = way_out(value, sizeof(value));
  way_choice_write(id, o->m->values[id], &out);
  if (o->m->focus == (uint32_t)id) {
    way_chip_source(o->cr, o->theme->band);
    cairo_rectangle(o->cr, x - 0.01 * w, b.y, 0.98 * w, b.height);
    cairo_fill_preserve(o->cr);
    way_chip_source(o->cr, o->theme->ink);
    cairo_set_line_width(o->cr, 0.12 * o->l->letter * o->theme->weight);
    cairo_stroke(o->cr);
  }
  way_chip_source(o->cr, o->theme->ink);
  WayLabelStyle style = letters(o, 1, true, 0.05 * w);
  way_label(o->cr, x, y, &style, key);
  style = letters(o, 0.9, false, 0.22 * w);
  way_label(o->cr, x + 0.06 * w, y, &style, c->label);
  style = letters(o, 0.95, true, 0.185 * w);
  way_label(o->cr, x + 0.29 * w, y, &style, value);
  const bool refused = id == WAY_CHOICE_TAGS && o->m->place.tags_refused;
  way_chip_source(o->cr, refused ? o->theme->ink : o->theme->soft);
  style = letters(o, 0.85, refused, 0.46 * w);
  way_label(o->cr, x + 0.495 * w, y, &style,
            refused ? "refused: channels bend apart" : words_of(id, o->m->values[id]));
}

static void paint_help_line(const Over* o, unsigned i) {
  const WayBox b = way_over_row(o->l, WAY_CHOICE_COUNT + i);
  const double y = b.y + b.height / 2;
  way_chip_source(o->cr, o->theme->ink);
  WayLabelStyle style = letters(o, 0.9, true, 0.27 * b.width);
  way_label(o->cr, b.x, y, &style, help_lines[i].key);
  way_chip_source(o->cr, o->theme->soft);
  style = letters(o, 0.9, false, 0.66 * b.width);
  way_label(o->cr, b.x + 0.29 * b.width, y, &style, help_lines[i].text);
}

static void paint_help(const Over* o) {
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) paint_choice(o, (WayChoiceId)i);
  for (unsigned i = 0; i < WAY_HELP_LINES; ++i) paint_help_line(o, i);
}

// ---- The line to type in.

/// The byte of a line at which character `column` (from 1) begins.
static uint32_t byte_of(WayText line, uint32_t column) {
  WayCursor c = way_cursor(line);
  while (c.column < column && c.byte < line.size) way_cursor_next(&c);
  return (uint32_t)c.byte;
}

/// How far a piece of a line reaches.
static double reach(const Over* o, WayText line, uint32_t bytes) {
  char text[512];
  const WayLabelStyle style = letters(o, 1, false, 0);
  const size_t n = bytes < line.size ? bytes : line.size;
  if (!n) return 0;
  const int shown = n < sizeof(text) ? (int)n : (int)sizeof(text) - 1;
  snprintf(text, sizeof(text), "%.*s", shown, line.at);
  return way_label_width(o->cr, &style, text);
}

/// The sign under the place that can't be read.
static void paint_mark(const Over* o, double x, double y) {
  const double r = 0.4 * o->l->letter;
  way_chip_source(o->cr, way_chip_colour(WAY_ROLE_CHROMATIC));
  cairo_move_to(o->cr, x, y - r);
  cairo_line_to(o->cr, x + r, y + r);
  cairo_line_to(o->cr, x - r, y + r);
  cairo_close_path(o->cr);
  cairo_fill(o->cr);
}

/// One row of the text; a long one is shifted so that `focus` can be seen.
static void paint_row(const Over* o, WayText line, double y, double shift) {
  char text[512];
  const WayLabelStyle style = letters(o, 1, false, 0);
  snprintf(text, sizeof(text), "%.*s",
           (int)(line.size < sizeof(text) ? line.size : sizeof(text) - 1), line.at);
  way_chip_source(o->cr, o->theme->ink);
  if (*text) way_label(o->cr, o->l->text.x - shift, y, &style, text);
}

static void paint_caret(const Over* o, double x, double y) {
  way_chip_source(o->cr, o->theme->ink);
  cairo_rectangle(o->cr, x, y - 0.75 * o->l->letter, fmax(1, 0.13 * o->l->letter),
                  1.5 * o->l->letter);
  cairo_fill(o->cr);
}

/// The number of the line that holds a byte, from 0.
static unsigned line_of(const WayLine* l, uint32_t byte) {
  unsigned n = 0;
  for (uint32_t i = 0; i < byte && i < l->size; ++i) n += l->text[i] == '\n';
  return n;
}

static void paint_rows(const Over* o) {
  const WayLine* const l = &o->m->line;
  const WayError* const e = &o->m->line_error;
  const unsigned caret = line_of(l, l->caret);
  const unsigned first = caret < o->l->rows ? 0 : caret - o->l->rows + 1;
  uint32_t byte = 0;
  cairo_save(o->cr);
  cairo_rectangle(o->cr, o->l->text.x, o->l->text.y, o->l->text.width,
                  o->l->text.height + 0.5 * o->l->row);
  cairo_clip(o->cr);
  for (unsigned i = 0; i < first + o->l->rows; ++i) {
    uint32_t from;
    const WayText line = way_line_at(l, byte, &from);
    const double y = o->l->text.y + (i - (double)first + 0.5) * o->l->row;
    if (i >= first) {
      const double at = i == caret ? reach(o, line, l->caret - from) : 0;
      const double shift = fmax(0, at - 0.9 * o->l->text.width);
      paint_row(o, line, y, shift);
      if (i == caret) paint_caret(o, o->l->text.x + at - shift, y);
      if (e->status && e->line == i + 1)
        paint_mark(o, o->l->text.x + reach(o, line, byte_of(line, e->column)) - shift,
                   y + 0.5 * o->l->row);
    }
    byte = from + (uint32_t)line.size + 1;
    if (byte > l->size) break;
  }
  cairo_restore(o->cr);
}

static void paint_line(const Over* o) {
  const bool path = o->m->over == WAY_OVER_PATH;
  const WayError* const e = &o->m->line_error;
  const WayBox t = o->l->text;
  WayLabelStyle style = letters(o, 0.85, false, t.width);
  way_chip_source(o->cr, o->theme->soft);
  way_label(o->cr, t.x, t.y - 0.5 * o->l->row, &style,
            path ? PATH_HEADING : CHART_HEADING);
  paint_rows(o);
  char text[WAY_ERROR_MAX + 64];
  if (e->status)
    snprintf(text, sizeof(text), "line %u, column %u: %s", e->line, e->column,
             e->message);
  else
    snprintf(
        text, sizeof(text), "%s",
        path ? "Enter opens it, Esc leaves it"
             : "Enter uses it, Shift+Enter begins a line, Ctrl+U clears, Esc leaves");
  if (e->status) way_chip_source(o->cr, o->theme->ink);
  style.bold = e->status != WAY_OK;
  way_label(o->cr, t.x, way_box_bottom(t) + 1.1 * o->l->row, &style, text);
}

/// Paint what lies over some regions, and nowhere else: smooth edges painted twice
/// would be others.
static void paint_over(cairo_t* cr, const WayModel* m, unsigned regions) {
  const Over o = {cr, m, &m->over_layout, way_theme(m->screen.look.theme)};
  if (m->over == WAY_OVER_NOTHING) return;
  cairo_save(cr);
  for (unsigned r = 0; r < WAY_REGION_COUNT; ++r) {
    const WayBox b = m->layout.box[r];
    if (regions >> r & 1u) cairo_rectangle(cr, b.x, b.y, b.width, b.height);
  }
  if (regions != WAY_REGIONS_ALL) cairo_clip(cr);
  cairo_new_path(cr);
  paint_sheet(&o);
  if (m->over == WAY_OVER_HELP)
    paint_help(&o);
  else
    paint_line(&o);
  cairo_restore(cr);
}

// ---- What changed.

static void stir(uint64_t* h, const void* bytes, size_t size) {
  const uint8_t* const at = bytes;
  for (size_t i = 0; i < size; ++i) *h = (*h ^ at[i]) * 0x100000001B3u;
}

/// A number that changes when what lies over the screen does; 0 for nothing.
static uint64_t stamp_over(const WayModel* m) {
  uint64_t h = 0xCBF29CE484222325u;
  if (m->over == WAY_OVER_NOTHING) return 0;
  stir(&h, &m->over, sizeof(m->over));
  stir(&h, &m->over_layout.box, sizeof(m->over_layout.box));
  stir(&h, &m->screen.look.theme, sizeof(m->screen.look.theme));
  stir(&h, &m->focus, sizeof(m->focus));
  if (m->over == WAY_OVER_HELP) {
    stir(&h, m->values, sizeof(m->values));
    stir(&h, &m->place.tags_refused, sizeof(m->place.tags_refused));
  } else {
    stir(&h, m->line.text, m->line.size);
    stir(&h, &m->line.caret, sizeof(m->line.caret));
    stir(&h, m->line_error.message, strlen(m->line_error.message));
    stir(&h, &m->line_error.column, sizeof(m->line_error.column));
  }
  return h | 1;
}

/// A picture of the model's size; false without memory.
static bool make_image(WayPicture* v, const WayModel* m) {
  const int width = (int)m->layout.width, height = (int)m->layout.height;
  if (v->image && v->width == width && v->height == height) return true;
  way_ui_view_clear(v);
  v->image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
  if (cairo_surface_status(v->image)) {
    way_ui_view_clear(v);
    return false;
  }
  v->width = width;
  v->height = height;
  return true;
}

/// The regions to paint; all of them where what lies over them moved away.
static unsigned regions_of(WayPicture* v, const WayModel* m, bool all) {
  uint64_t stamps[WAY_REGION_COUNT];
  unsigned regions = all ? WAY_REGIONS_ALL : 0;
  way_screen_stamps(&m->screen, &m->layout, stamps);
  for (unsigned r = 0; r < WAY_REGION_COUNT; ++r)
    if (stamps[r] != v->stamps[r]) regions |= 1u << r;
  memcpy(v->stamps, stamps, sizeof(stamps));
  return regions;
}

WayViewChanges way_ui_view_paint(WayPicture* v, const WayModel* m) {
  WayViewChanges changes = {.n = 0};
  const bool fresh = !v->image || v->width != (int)m->layout.width ||
                     v->height != (int)m->layout.height;
  if (!make_image(v, m)) return changes;
  const uint64_t over = stamp_over(m);
  const unsigned regions = regions_of(v, m, fresh || over != v->over);
  v->over = over;
  if (!regions) return changes;
  cairo_t* const cr = cairo_create(v->image);
  way_screen_paint(cr, &m->screen, &m->layout, regions);
  paint_over(cr, m, regions);
  cairo_destroy(cr);
  if (regions == WAY_REGIONS_ALL) {
    changes.boxes[changes.n++] = (WayBox){0, 0, v->width, v->height};
    return changes;
  }
  for (unsigned r = 0; r < WAY_REGION_COUNT; ++r)
    if (regions >> r & 1u && m->layout.box[r].width > 0)
      changes.boxes[changes.n++] = m->layout.box[r];
  return changes;
}

void way_ui_view_clear(WayPicture* v) {
  if (v->image) cairo_surface_destroy(v->image);
  *v = (WayPicture){.image = NULL};
}
