#include "draw/trail_paint.h"

#include "draw/label.h"
#include "theory/chord_write.h"

#define LETTERS_FROM 9.0 // smallest radius with letters in it
#define LABEL_LEAST 0.6  // of its size: a smaller symbol is left out

static void paint_change(cairo_t* cr, const WayTrailLayout* l, const WayTheme* theme,
                         double unit, const WayTimeline* t, WayTick tick,
                         double until_x) {
  const bool begins = tick >= l->from;
  const double x = begins ? way_trail_x(l, tick) : l->box.x;
  if (begins) {
    way_chip_source(cr, theme->hair);
    cairo_set_line_width(cr, theme->weight);
    cairo_move_to(cr, x + 0.5, l->box.y);
    cairo_line_to(cr, x + 0.5, way_box_bottom(l->box));
    cairo_stroke(cr);
  }
  char text[WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(&way_timeline_harmony(t, way_timeline_at(t, tick).span)->chord, &out);
  const double room = until_x - x - 0.7 * unit;
  WayLabelStyle style = {unit, false, WAY_ALIGN_LEFT, 0};
  if (room < LABEL_LEAST * way_label_symbol_width(cr, &style, text)) return;
  style.most = room;
  way_chip_source(cr, theme->soft);
  way_label_symbol(cr, x + 0.4 * unit, l->box.y + 0.5 * l->head, &style, text);
}

static void paint_changes(cairo_t* cr, const WayTrailLayout* l, const WayTheme* theme,
                          double unit, const WayTimeline* t) {
  WayTick tick = l->from < 0 ? 0 : l->from;
  if (l->from > 0) tick -= way_timeline_at(t, tick).since;
  while (tick < l->to) {
    const WayTick next = way_timeline_next_change(t, tick);
    paint_change(cr, l, theme, unit, t, tick,
                 next < l->to ? way_trail_x(l, next) : way_box_right(l->box));
    tick = next;
  }
}

static void paint_note(cairo_t* cr, const WayTrailLayout* l, const WayTheme* theme,
                       const WayTrailNote* note) {
  const double x = way_trail_x(l, note->start), y = way_trail_y(l, note->pitch);
  const double right =
      note->end > l->to ? way_box_right(l->box) : way_trail_x(l, note->end);
  way_chip_source(cr, way_chip_colour((WayRole)note->role.role));
  cairo_set_line_width(cr, 0.4 * l->radius * theme->weight);
  cairo_move_to(cr, x + (note->role.role == WAY_ROLE_SCALE ? l->radius : 0), y);
  if (right > x + l->radius) {
    cairo_line_to(cr, right, y);
    cairo_stroke(cr);
  } else {
    cairo_new_path(cr);
  }
  if (l->radius < LETTERS_FROM) {
    way_chip_dot(cr, x, y, l->radius, (WayRole)note->role.role);
    return;
  }
  char degree[WAY_SPELLING_MAX], text[4 * WAY_SPELLING_MAX];
  WayOut plain = way_out(degree, sizeof(degree));
  way_role_degree_write(note->role.degree, &plain);
  WayOut out = way_out(text, sizeof(text));
  way_label_signs(degree, &out);
  way_chip_sign(cr, x, y, l->radius, note->role, text, theme->ink, &theme->ground);
}

void way_trail_paint(cairo_t* cr, const WayTrailLayout* l, const WayTheme* theme,
                     double unit, const WayTimeline* t, const WayTrailNote* notes,
                     uint32_t n) {
  cairo_save(cr);
  cairo_rectangle(cr, l->box.x, l->box.y, l->box.width, l->box.height);
  cairo_clip(cr);
  if (t) paint_changes(cr, l, theme, unit, t);
  for (uint32_t i = 0; i < n; ++i)
    if (notes[i].end >= l->from && notes[i].start <= l->to)
      paint_note(cr, l, theme, &notes[i]);
  cairo_restore(cr);
}
