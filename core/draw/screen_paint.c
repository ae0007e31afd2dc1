#include "draw/screen_paint.h"

#include "draw/fretboard_paint.h"
#include "draw/keyboard_paint.h"
#include "draw/label.h"
#include "draw/measure.h"
#include "draw/panel_paint.h"
#include "draw/signs.h"
#include "draw/spread.h"
#include "draw/trail_paint.h"

#include <math.h>
#include <string.h>

#define APART "  \u00B7  "
#define HEADER_GAP 1.6    // between its parts, in units
#define TITLE_LEAST 0.3   // of the header, before its other parts give way
#define NOTICE_LEAST 0.75 // of its size: a longer notice is cut

/// What every region's painter gets.
typedef struct {
  cairo_t* cr;
  const WayScreenModel* m;
  const WayScreenLayout* l;
  const WayTheme* theme;
} Scene;

/// The parts of the header, those first that stay longest where there is little room.
enum { BAR, TITLE, CHORUS, KEY, SECTION, PARTS };

/// What the header says; "" for nothing.
typedef struct {
  char text[PARTS][128];
} Header;

static void write_place(const WayTimeline* t, const WayPlace* p, Header* h) {
  WayOut out = way_out(h->text[BAR], sizeof(h->text[BAR]));
  way_out_str(&out, "bar ");
  way_out_int(&out, p->bar + 1);
  way_out_str(&out, " of ");
  way_out_int(&out, t->n_bars);
  out = way_out(h->text[CHORUS], sizeof(h->text[CHORUS]));
  way_out_str(&out, "chorus ");
  way_out_int(&out, p->chorus + 1);
  out = way_out(h->text[SECTION], sizeof(h->text[SECTION]));
  way_out_str(&out, t->sections[p->section].name);
}

static Header write_header(const WayScreenModel* m) {
  const WayTimeline* const t = m->timeline;
  Header h = {.text = {""}};
  WayOut out = way_out(h.text[TITLE], sizeof(h.text[TITLE]));
  way_out_str(&out, m->title && *m->title ? m->title : "Waymark");
  if (!t) return h;
  out = way_out(h.text[KEY], sizeof(h.text[KEY]));
  way_signs_key(t->key, &out);
  way_out_str(&out, APART);
  way_out_int(&out, (int64_t)(t->tempo + 0.5));
  if (!m->placed || m->tick < 0) return h;
  const WayPlace p = way_timeline_at(t, m->tick);
  write_place(t, &p, &h);
  return h;
}

/// The place at the right end, its parts apart by dots.
static void paint_place(const Scene* s, const Header* h, const double* widths,
                        double right, double y) {
  static const int from_right[] = {BAR, SECTION, CHORUS};
  WayLabelStyle style = {s->l->unit, false, WAY_ALIGN_RIGHT, 0};
  bool dot = false;
  for (size_t i = 0; i < WAY_COUNT(from_right); ++i) {
    const int part = from_right[i];
    if (!(widths[part] > 0)) continue;
    if (dot) right -= way_label(s->cr, right, y, &style, APART);
    right -= way_label(s->cr, right, y, &style, h->text[part]);
    dot = true;
  }
}

static void paint_header(const Scene* s, WayBox box) {
  const double u = s->l->unit, y = box.y + box.height / 2;
  const Header h = write_header(s->m);
  WayLabelStyle bold = {1.1 * u, true, WAY_ALIGN_LEFT, 0};
  const WayLabelStyle plain = {u, false, WAY_ALIGN_LEFT, 0};
  double widths[PARTS] = {0};
  for (int i = 0; i < PARTS; ++i)
    if (*h.text[i])
      widths[i] = way_label_width(s->cr, i == TITLE ? &bold : &plain, h.text[i]) +
                  HEADER_GAP * u;
  const double title = widths[TITLE];
  widths[TITLE] = fmin(title, TITLE_LEAST * box.width);
  unsigned kept = way_spread_keep(widths, PARTS, box.width + HEADER_GAP * u);
  for (; kept < PARTS; ++kept) widths[kept] = 0;
  double left = box.width + HEADER_GAP * u;
  for (int i = 0; i < PARTS; ++i) left -= widths[i];
  bold.most = fmin(title, widths[TITLE] + left) - HEADER_GAP * u + 1e-6;
  way_chip_source(s->cr, s->theme->ink);
  const double width = way_label_cut(s->cr, box.x, y, &bold, h.text[TITLE]);
  way_chip_source(s->cr, s->theme->soft);
  if (widths[KEY] > 0)
    way_label(s->cr, box.x + width + HEADER_GAP * u, y, &plain, h.text[KEY]);
  paint_place(s, &h, widths, way_box_right(box), y);
}

static void paint_now(const Scene* s, WayBox box) {
  const WayChordPanel p = way_panel_now(box);
  way_panel_now_paint(s->cr, &p, s->theme, s->m->now);
}

static void paint_next(const Scene* s, WayBox box) {
  const WayChordPanel p = way_panel_next(box);
  way_panel_next_paint(s->cr, &p, s->theme, s->m->now, s->m->next, s->m->until,
                       s->m->lasts, s->m->pulse, s->m->target);
}

static void paint_no_chart(const Scene* s, WayBox box) {
  const double u = s->l->unit;
  double y = box.y + 1.2 * u;
  way_chip_source(s->cr, s->theme->ink);
  way_label(s->cr, box.x, y, &(WayLabelStyle){1.3 * u, true, WAY_ALIGN_LEFT, box.width},
            "no chart");
  way_chip_source(s->cr, s->theme->soft);
  WayText rest = way_text(s->m->hint ? s->m->hint : "");
  while (rest.size) {
    char line[128];
    const char* const end = memchr(rest.at, '\n', rest.size);
    const size_t n = end ? (size_t)(end - rest.at) : rest.size;
    WayOut out = way_out(line, sizeof(line));
    way_out_text(&out, (WayText){rest.at, n});
    y += 1.8 * u;
    way_label(s->cr, box.x, y, &(WayLabelStyle){u, false, WAY_ALIGN_LEFT, box.width},
              line);
    rest.at += n + (end ? 1 : 0);
    rest.size -= n + (end ? 1 : 0);
  }
}

static void paint_ribbon(const Scene* s, WayBox box) {
  const WayTimeline* const t = s->m->timeline;
  if (!t) {
    paint_no_chart(s, box);
    return;
  }
  const bool here = s->m->placed && s->m->tick >= 0;
  const WayTick tick = here ? way_timeline_at(t, s->m->tick).tick : -1;
  way_ribbon_paint(s->cr, &s->l->ribbon, s->theme, t, tick, s->m->rolling,
                   s->m->landings, s->m->n_landings);
}

static void paint_instrument(const Scene* s, WayBox box) {
  (void)box;
  const WayShown shown = way_screen_shown(s->m);
  if (s->m->look.keyboard)
    way_keyboard_paint(s->cr, &s->l->keys, s->theme, &shown, s->m->sounding,
                       s->m->n_sounding);
  else
    way_fretboard_paint(s->cr, &s->l->frets, s->theme, &shown, s->m->sounding,
                        s->m->n_sounding, s->m->hand);
}

static void paint_trail(const Scene* s, WayBox box) {
  (void)box;
  way_trail_paint(s->cr, &s->l->trail, s->theme, s->l->unit, s->m->timeline,
                  s->m->trail, s->m->n_trail);
}

static void paint_item(const Scene* s, uint32_t i) {
  const WayBox b = way_screen_item_box(s->l, s->m, i);
  const double u = s->l->unit, y = b.y + b.height / 2;
  const WayScreenItem* const item = &s->m->items[i];
  if (i == s->m->focus) {
    way_chip_source(s->cr, s->theme->band);
    cairo_rectangle(s->cr, b.x - 0.3 * u, b.y, b.width - 0.4 * u, b.height);
    cairo_fill_preserve(s->cr);
    way_chip_source(s->cr, s->theme->ink);
    cairo_set_line_width(s->cr, 0.12 * u * s->theme->weight);
    cairo_stroke(s->cr);
  }
  // Both of one size, by what they and the gap between them take.
  WayLabelStyle label = {0.9 * u, false, WAY_ALIGN_LEFT, 0};
  WayLabelStyle value = {0.95 * u, true, WAY_ALIGN_LEFT, 0};
  const double takes = way_label_width(s->cr, &label, item->label) + 0.5 * u +
                       way_label_width(s->cr, &value, item->value);
  const double scale = fmin(1, (b.width - u) / takes);
  label.size *= scale;
  value.size *= scale;
  way_chip_source(s->cr, s->theme->soft);
  const double width = way_label(s->cr, b.x, y, &label, item->label);
  way_chip_source(s->cr, s->theme->ink);
  way_label(s->cr, b.x + width + 0.5 * u * scale, y, &value, item->value);
}

/// A message in the rows of the settings.
static void paint_notice(const Scene* s, WayBox box) {
  WayText lines[WAY_SCREEN_ITEM_ROWS];
  const unsigned n =
      way_measure_wrap(s->m->notice, s->l->unit, box.width, s->l->item_rows, lines);
  const double row = box.height / s->l->item_rows;
  way_chip_source(s->cr, s->theme->ink);
  for (unsigned i = 0; i < n; ++i) {
    char text[256];
    WayOut out = way_out(text, sizeof(text));
    way_out_text(&out, lines[i]);
    WayLabelStyle style = {s->l->unit, false, WAY_ALIGN_LEFT, 0};
    const double fits = box.width / way_label_width(s->cr, &style, text);
    style.size *= fmin(1, fmax(fits, NOTICE_LEAST));
    style.most = box.width;
    way_label_cut(s->cr, box.x, box.y + (i + 0.5) * row, &style, text);
  }
}

static void paint_items(const Scene* s, WayBox box) {
  if (s->m->notice && *s->m->notice)
    paint_notice(s, box);
  else
    for (uint32_t i = 0; i < s->m->n_items; ++i) paint_item(s, i);
}

void way_screen_paint(cairo_t* cr, const WayScreenModel* m, const WayScreenLayout* l,
                      unsigned regions) {
  static void (*const painters[WAY_REGION_COUNT])(const Scene*, WayBox) = {
      [WAY_REGION_HEADER] = paint_header, [WAY_REGION_NOW] = paint_now,
      [WAY_REGION_NEXT] = paint_next,     [WAY_REGION_RIBBON] = paint_ribbon,
      [WAY_REGION_TRAIL] = paint_trail,   [WAY_REGION_INSTRUMENT] = paint_instrument,
      [WAY_REGION_ITEMS] = paint_items,
  };
  const Scene scene = {cr, m, l, way_theme(m->look.theme)};
  if ((regions & WAY_REGIONS_ALL) == WAY_REGIONS_ALL) {
    way_chip_source(cr, scene.theme->ground);
    cairo_paint(cr);
  }
  for (unsigned r = 0; r < WAY_REGION_COUNT; ++r) {
    const WayBox b = l->box[r];
    if (!(regions >> r & 1u) || !(b.width > 0)) continue;
    cairo_save(cr);
    cairo_rectangle(cr, b.x, b.y, b.width, b.height);
    cairo_clip(cr);
    way_chip_source(cr, scene.theme->ground);
    cairo_paint(cr);
    painters[r](&scene, l->body[r]);
    cairo_restore(cr);
  }
}
