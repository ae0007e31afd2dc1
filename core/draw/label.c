#include "draw/label.h"

#include <ctype.h>
#include <pango/pangocairo.h>
#include <string.h>

// Sharps and flats beside letters: most fonts have small ones with much around them.
#define SIGN 1.2         // their size
#define SIGN_LOWER 0.05  // their base line, in sizes of letters
#define SIGN_CLOSER 0.07 // less room for each, in sizes of letters

/// What setting type needs, kept with the surface's context between labels.
typedef struct {
  PangoLayout* layout;
  PangoFontDescription* font;
  double size;
  bool bold;
  bool signs;  ///< The text set last has some that are enlarged
  double base; ///< From the middle of a line down to its base line, in sizes
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
  pango_font_description_set_absolute_size(press->font, 100 * PANGO_SCALE);
  pango_layout_set_font_description(press->layout, press->font);
  pango_layout_set_text(press->layout, "0", -1);
  int height;
  pango_layout_get_size(press->layout, NULL, &height);
  press->base =
      (pango_layout_get_baseline(press->layout) - 0.5 * height) / PANGO_SCALE / 100;
  cairo_set_user_data(cr, &key, press, free_press);
  return press;
}

/// The next sharp or flat (U+266F, U+266D) of a text; NULL if there is none.
static const char* next_sign(const char* text) {
  for (; (text = strchr(text, '\xE2')); ++text)
    if (text[1] == '\x99' && (text[2] == '\xAF' || text[2] == '\xAD')) return text;
  return NULL;
}

/// Enlarge the signs of a text.
static void set_signs(Press* press, const char* text) {
  const char* sign = next_sign(text);
  if (!sign && !press->signs) return;
  PangoAttrList* const all = pango_attr_list_new();
  press->signs = sign != NULL;
  for (; sign; sign = next_sign(sign + 3)) {
    PangoAttribute* const larger = pango_attr_scale_new(SIGN);
    larger->start_index = (guint)(sign - text);
    larger->end_index = larger->start_index + 3;
    PangoAttribute* const closer =
        pango_attr_letter_spacing_new((int)(-SIGN_CLOSER * press->size * PANGO_SCALE));
    closer->start_index = larger->start_index;
    closer->end_index = larger->end_index;
    PangoAttribute* const lower =
        pango_attr_rise_new((int)(-SIGN_LOWER * press->size * PANGO_SCALE));
    lower->start_index = larger->start_index;
    lower->end_index = larger->end_index;
    pango_attr_list_insert(all, lower);
    pango_attr_list_insert(all, larger);
    pango_attr_list_insert(all, closer);
  }
  pango_layout_set_attributes(press->layout, all);
  pango_attr_list_unref(all);
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
  set_signs(press, text);
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

/// Show what was set.
static double show(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                   PangoLayout* layout, double width, double height) {
  const double scale = shrunk(width, style->most);
  const Press* const press = press_of(cr);
  // Larger signs make a line higher, but its letters stand where they do without.
  const double up = press->signs
                        ? (double)pango_layout_get_baseline(layout) / PANGO_SCALE -
                              press->base * style->size
                        : 0.5 * height;
  cairo_save(cr);
  cairo_translate(cr, x - left_of(style->align) * width * scale, y);
  cairo_scale(cr, scale, scale);
  cairo_move_to(cr, 0, -up);
  pango_cairo_show_layout(cr, layout);
  cairo_restore(cr);
  return width * scale;
}

double way_label(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                 const char* text) {
  double width, height;
  PangoLayout* const layout =
      set_text(cr, style->size, style->bold, text, &width, &height);
  return show(cr, x, y, style, layout, width, height);
}

double way_label_cut(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                     const char* text) {
  double width, height;
  PangoLayout* const layout =
      set_text(cr, style->size, style->bold, text, &width, &height);
  if (width <= style->most) return show(cr, x, y, style, layout, width, height);
  pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_width(layout, (int)(style->most * PANGO_SCALE));
  int w;
  pango_layout_get_size(layout, &w, NULL);
  const double taken = show(cr, x, y, style, layout, (double)w / PANGO_SCALE, height);
  pango_layout_set_width(layout, -1);
  pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_NONE);
  return taken;
}

/// Size and rise of the parts of a chord symbol, in parts of the root's size.
enum { ROOT, ROOT_SIGN, KIND, BASS, BASS_SIGN, PARTS };
static const struct {
  double size, rise;
} part_styles[PARTS] = {
    [ROOT] = {1, 0},        [ROOT_SIGN] = {0.74, 0.1}, [KIND] = {0.66, 0.16},
    [BASS] = {0.72, -0.06}, [BASS_SIGN] = {0.56, 0.0},
};

/// The parts of a symbol, one behind the other.
typedef struct {
  WayText text[PARTS];
} Parts;

/// Cut `n` bytes off the front of a text.
static WayText cut(WayText* from, size_t n) {
  const WayText piece = {from->at, n};
  from->at += n;
  from->size -= n;
  return piece;
}

static size_t signs_at(WayText text) {
  size_t n = 0;
  while (n < text.size && (text.at[n] == 'b' || text.at[n] == '#')) ++n;
  return n;
}

/// Where a foreign bass begins: a stroke before a note, unlike that of C6/9.
static size_t bass_at(WayText text) {
  size_t n = text.size;
  while (n && text.at[n - 1] != '/') --n;
  return n && n < text.size && isupper((unsigned char)text.at[n]) ? n - 1 : text.size;
}

static Parts take_apart(const char* symbol) {
  Parts p;
  WayText rest = way_text(symbol);
  const bool none = !strncmp(symbol, "N.C.", 4);
  p.text[ROOT] = cut(&rest, none ? 4 : rest.size && isalpha((unsigned char)*symbol));
  p.text[ROOT_SIGN] = cut(&rest, signs_at(rest));
  p.text[KIND] = cut(&rest, bass_at(rest));
  p.text[BASS] = cut(&rest, rest.size < 2 ? rest.size : 2);
  p.text[BASS_SIGN] = rest;
  return p;
}

/// One part as it is set.
static WayLabelStyle set_part(const Parts* p, int part, const WayLabelStyle* style,
                              double scale, char* text, size_t room) {
  char plain[128];
  WayOut flat = way_out(plain, sizeof(plain));
  way_out_text(&flat, p->text[part]);
  WayOut out = way_out(text, room);
  way_label_signs(plain, &out);
  return (WayLabelStyle){style->size * part_styles[part].size * scale, style->bold,
                         WAY_ALIGN_LEFT, 0};
}

static double parts_width(cairo_t* cr, const Parts* p, const WayLabelStyle* style) {
  char text[384];
  double width = 0;
  for (int i = 0; i < PARTS; ++i) {
    if (!p->text[i].size) continue;
    const WayLabelStyle s = set_part(p, i, style, 1, text, sizeof(text));
    width += way_label_width(cr, &s, text);
  }
  return width;
}

double way_label_symbol_width(cairo_t* cr, const WayLabelStyle* style,
                              const char* text) {
  const Parts p = take_apart(text);
  const double width = parts_width(cr, &p, style);
  return width * shrunk(width, style->most);
}

double way_label_symbol(cairo_t* cr, double x, double y, const WayLabelStyle* style,
                        const char* text) {
  const Parts p = take_apart(text);
  const bool free = style->align == WAY_ALIGN_LEFT && !(style->most > 0);
  const double width = free ? 0 : parts_width(cr, &p, style); // of no use otherwise
  const double scale = shrunk(width, style->most);
  char part[384];
  x -= left_of(style->align) * width * scale;
  const double from = x;
  for (int i = 0; i < PARTS; ++i) {
    if (!p.text[i].size) continue;
    const WayLabelStyle s = set_part(&p, i, style, scale, part, sizeof(part));
    x += way_label(cr, x, y - part_styles[i].rise * style->size * scale, &s, part);
  }
  return x - from;
}

void way_label_signs(const char* text, WayOut* out) {
  for (; *text; ++text) {
    if (*text == 'b' && !(out->size && out->at[out->size - 1] == 'u'))
      way_out_str(out, "\u266D");
    else if (*text == '#')
      way_out_str(out, "\u266F");
    else
      way_out_text(out, (WayText){text, 1});
  }
}
