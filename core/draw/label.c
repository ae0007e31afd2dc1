#include "draw/label.h"

#include <ctype.h>
#include <pango/pangocairo.h>
#include <string.h>

/// What setting type needs, kept with the surface's context between labels.
typedef struct {
  PangoLayout* layout;
  PangoFontDescription* font;
  double size;
  bool bold;
} Press;

static void free_press(void* p) {
  Press* const press = p;
  pango_font_description_free(press->font);
  g_object_unref(press->layout);
  g_free(press);
}

static Press* press_of(cairo_t* cr) {
  static const cairo_user_data_key_t key;
  Press* press = cairo_get_user_data(cr, &key);
  if (press) return press;
  press = g_new0(Press, 1);
  press->layout = pango_cairo_create_layout(cr);
  press->font = pango_font_description_from_string("Sans");
  // Same letters, same width at every size and place.
  PangoContext* const context = pango_layout_get_context(press->layout);
  cairo_font_options_t* const options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(context, options);
  cairo_font_options_destroy(options);
  pango_context_set_round_glyph_positions(context, FALSE);
  cairo_set_user_data(cr, &key, press, free_press);
  return press;
}

/// Set a text; gives its natural width and height.
static PangoLayout* set_text(cairo_t* cr, double size, bool bold, const char* text,
                             double* width, double* height) {
  Press* const press = press_of(cr);
  if (press->size != size || press->bold != bold) {
    press->size = size;
    press->bold = bold;
    pango_font_description_set_weight(press->font,
                                      bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(press->font, size * PANGO_SCALE);
    pango_layout_set_font_description(press->layout, press->font);
  }
  pango_layout_set_text(press->layout, text, -1);
  int w, h;
  pango_layout_get_size(press->layout, &w, &h);
  *width = (double)w / PANGO_SCALE;
  *height = (double)h / PANGO_SCALE;
  return press->layout;
}

static double shrunk(double natural, double most) {
  return most > 0 && natural > most ? most / natural : 1;
}

static double left_of(WayAlign align) {
  return align == WAY_ALIGN_LEFT ? 0 : align == WAY_ALIGN_CENTRE ? 0.5 : 1;
}

double way_label_width(cairo_t* cr, const WayLabelStyle* style, const char* text) {
  double width, height;
  set_text(cr, style->size, style->bold, text, &width, &height);
  return width * shrunk(width, style->most);
}

double way_label(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                 const char* text) {
  double width, height;
  PangoLayout* const layout =
      set_text(cr, style->size, style->bold, text, &width, &height);
  const double scale = shrunk(width, style->most);
  cairo_save(cr);
  cairo_translate(cr, x - left_of(style->align) * width * scale, y);
  cairo_scale(cr, scale, scale);
  cairo_move_to(cr, 0, -0.5 * height);
  pango_cairo_show_layout(cr, layout);
  cairo_restore(cr);
  return width * scale;
}

#define SUFFIX_SIZE 0.62 // of the root's
#define SUFFIX_RISE 0.17
#define BASS_SIZE 0.72

/// One part of a chord symbol.
typedef struct {
  char text[384];
  double size, rise, width; ///< In parts of the root's size
} Part;

/// Where the root and the bass of a symbol are: a letter with its accidentals.
static size_t root_size(const char* text) {
  return isalpha((unsigned char)*text) ? 1 + strspn(text + 1, "b#") : 0;
}

static void fill_part(Part* part, const char* text, size_t n, double size,
                      double rise) {
  char plain[128];
  WayOut cut = way_out(plain, sizeof(plain));
  way_out_text(&cut, (WayText){text, n});
  WayOut out = way_out(part->text, sizeof(part->text));
  way_label_signs(plain, &out);
  part->size = size;
  part->rise = rise;
}

static void take_apart(const char* text, Part parts[3]) {
  const bool none = !strncmp(text, "N.C.", 4);
  const size_t root = none ? 4 : root_size(text);
  const char* bass = none ? NULL : strrchr(text, '/');
  if (bass && !isupper((unsigned char)bass[1])) bass = NULL; // as in C6/9
  if (!bass) bass = text + strlen(text);
  fill_part(&parts[0], text, root, 1, 0);
  fill_part(&parts[1], text + root, (size_t)(bass - text) - root, SUFFIX_SIZE,
            SUFFIX_RISE);
  fill_part(&parts[2], bass, strlen(bass), BASS_SIZE, -0.06);
}

double way_label_symbol(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                        const char* text) {
  Part parts[3];
  take_apart(text, parts);
  double natural = 0;
  for (int i = 0; i < 3; ++i) {
    WayLabelStyle s = {style->size * parts[i].size, style->bold, WAY_ALIGN_LEFT, 0};
    parts[i].width = *parts[i].text ? way_label_width(cr, &s, parts[i].text) : 0;
    natural += parts[i].width;
  }
  const double scale = shrunk(natural, style->most);
  x -= left_of(style->align) * natural * scale;
  for (int i = 0; i < 3; ++i) {
    WayLabelStyle s = {style->size * parts[i].size * scale, style->bold, WAY_ALIGN_LEFT,
                       0};
    if (*parts[i].text)
      way_label(cr, x, y - parts[i].rise * style->size * scale, &s, parts[i].text);
    x += parts[i].width * scale;
  }
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
