#include "draw/paragraph.h"

#include <pango/pangocairo.h>

static PangoLayout* set(cairo_t* cr, const WayParagraphStyle* style, const char* text) {
  PangoLayout* const layout = pango_cairo_create_layout(cr);
  PangoFontDescription* const font = pango_font_description_from_string("Sans");
  if (style->bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
  pango_font_description_set_absolute_size(font, style->size * PANGO_SCALE);
  // Lines break in the same places whatever is drawn on.
  PangoContext* const context = pango_layout_get_context(layout);
  cairo_font_options_t* const options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context, options);
  cairo_font_options_destroy(options);
  pango_context_set_round_glyph_positions(context, FALSE);
  pango_layout_set_font_description(layout, font);
  pango_layout_set_width(layout, (int)(style->width * PANGO_SCALE));
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_text(layout, text, -1);
  pango_font_description_free(font);
  return layout;
}

static double height_of(PangoLayout* layout) {
  int height;
  pango_layout_get_size(layout, NULL, &height);
  return (double)height / PANGO_SCALE;
}

double way_paragraph(cairo_t* cr, double x, double y, const WayParagraphStyle* style,
                     const char* text) {
  PangoLayout* const layout = set(cr, style, text);
  cairo_move_to(cr, x, y);
  pango_cairo_show_layout(cr, layout);
  cairo_new_path(cr);
  const double height = height_of(layout);
  g_object_unref(layout);
  return height;
}

double way_paragraph_height(cairo_t* cr, const WayParagraphStyle* style,
                            const char* text) {
  PangoLayout* const layout = set(cr, style, text);
  const double height = height_of(layout);
  g_object_unref(layout);
  return height;
}
