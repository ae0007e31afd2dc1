#include "draw/label.h"

#include <pango/pangocairo.h>

double way_label(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                 const char* text) {
  PangoLayout* const layout = pango_cairo_create_layout(cr);
  PangoFontDescription* const font = pango_font_description_from_string("Sans");
  pango_font_description_set_weight(font, style->bold ? PANGO_WEIGHT_BOLD
                                                      : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font, style->size * PANGO_SCALE);
  pango_layout_set_font_description(layout, font);
  pango_layout_set_text(layout, text, -1);
  int width, height;
  pango_layout_get_size(layout, &width, &height);
  const double natural = (double)width / PANGO_SCALE;
  const double scale =
      style->most > 0 && natural > style->most ? style->most / natural : 1;
  cairo_save(cr);
  const double left = style->align == WAY_ALIGN_LEFT     ? 0
                      : style->align == WAY_ALIGN_CENTRE ? 0.5
                                                         : 1;
  cairo_translate(cr, x - left * natural * scale, y);
  cairo_scale(cr, scale, scale);
  cairo_translate(cr, 0, -0.5 * height / PANGO_SCALE);
  pango_cairo_show_layout(cr, layout);
  cairo_restore(cr);
  pango_font_description_free(font);
  g_object_unref(layout);
  return natural * scale;
}

void way_label_signs(const char* text, WayOut* out) {
  for (; *text; ++text) {
    if (*text == 'b')
      way_out_str(out, "\u266D");
    else if (*text == '#')
      way_out_str(out, "\u266F");
    else
      way_out_text(out, (WayText){text, 1});
  }
}
