#include "chart/chart_read.h"

#include "chart/bar_read.h"
#include "chart/chart_key.h"
#include "chart/chart_walk.h"
#include "chart/grow.h"

#include <stdlib.h>
#include <string.h>

/// Most sections, and most names in `form:`.
#define SECTIONS_MAX 1000u
#define FORM_MAX 10000u

// Headers ---------------------------------------------------------------------------

static WayStatus read_title(WayChartReader* r, const WayCursor* place, WayText value) {
  if (value.size >= sizeof(r->chart->title))
    return way_reader_fail(r, place, WAY_ERR_RANGE,
                           "expected a title of at most 63 bytes");
  memcpy(r->chart->title, value.at, value.size);
  return WAY_OK;
}

/// The section whose header is being read; NULL for the chart's own.
static WayChartSection* section_open(const WayChartReader* r) {
  const uint32_t n = r->chart->n_sections;
  return n ? &r->chart->sections[n - 1] : NULL;
}

static WayStatus read_key(WayChartReader* r, const WayCursor* place, WayText value) {
  WayChartSection* const s = section_open(r);
  WayError inner = {WAY_OK, 0, 0, 0, ""};
  if (way_key_read(value, s ? &s->key : &r->chart->key, &inner))
    return way_reader_fail_inside(r, place, &inner);
  *(s ? &s->key_given : &r->chart->key_given) = true;
  return WAY_OK;
}

static WayStatus read_time(WayChartReader* r, const WayCursor* place, WayText value) {
  WayChartSection* const s = section_open(r);
  WayCursor c = way_cursor(value);
  const uint32_t beats = way_reader_number(&c);
  way_cursor_skip_blanks(&c);
  const bool slash = way_cursor_skip(&c, "/");
  way_cursor_skip_blanks(&c);
  const uint32_t unit = way_reader_number(&c);
  const bool fits = slash && c.byte == value.size && beats <= 64 && unit <= 64;
  const WayMetre metre = {fits ? (uint8_t)beats : 0, fits ? (uint8_t)unit : 0};
  if (!way_metre_valid(metre))
    return way_reader_fail(r, place, WAY_ERR_RANGE,
                           "expected a metre such as 4/4: 1 to 64 beats of 1, 2, 4, 8, "
                           "16, 32 or 64");
  *(s ? &s->metre : &r->chart->metre) = metre;
  *(s ? &s->metre_given : &r->chart->metre_given) = true;
  return WAY_OK;
}

static WayStatus read_tempo(WayChartReader* r, const WayCursor* place, WayText value) {
  WayCursor c = way_cursor(value);
  const uint32_t whole = way_reader_number(&c);
  uint32_t thousandths = 0;
  bool fits = c.byte > 0;
  if (way_cursor_skip(&c, ".")) {
    const size_t from = c.byte;
    thousandths = way_reader_number(&c);
    const size_t digits = c.byte - from;
    for (size_t i = digits; i < 3; ++i) thousandths *= 10;
    fits = fits && digits >= 1 && digits <= 3;
  }
  const double tempo = (whole * 1000.0 + thousandths) / 1000;
  if (!fits || c.byte < value.size || tempo < 10 || tempo > 1000)
    return way_reader_fail(r, place, WAY_ERR_RANGE,
                           "expected a tempo from 10 to 1000 quarter notes per minute, "
                           "with at most three decimals");
  r->chart->tempo = tempo;
  r->chart->tempo_given = true;
  return WAY_OK;
}

/// Only keeps the names: their sections stand further down.
static WayStatus read_form(WayChartReader* r, const WayCursor* place, WayText value) {
  if (!value.size)
    return way_reader_fail(r, place, WAY_ERR_SYNTAX, "expected names of sections");
  r->form = *place;
  r->form_text = value;
  return WAY_OK;
}

static const struct {
  const char* name;
  bool in_sections; ///< May stand below a section's name, too
  WayStatus (*read)(WayChartReader* r, const WayCursor* place, WayText value);
} headers[] = {
    {"title", false, read_title}, {"key", true, read_key},    {"time", true, read_time},
    {"tempo", false, read_tempo}, {"form", false, read_form},
};

static WayStatus unknown_header(WayChartReader* r, const WayCursor* place) {
  char text[WAY_ERROR_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_out_str(&out, "expected one of the headers");
  for (size_t i = 0; i < WAY_COUNT(headers); ++i) {
    way_out_str(&out, i ? ", " : " ");
    way_out_str(&out, headers[i].name);
  }
  return way_reader_fail(r, place, WAY_ERR_SYNTAX, text);
}

/// Why header `h` cannot stand here; NULL if it can.
static const char* misplaced(const WayChartReader* r, size_t h) {
  const WayChartSection* const s = section_open(r);
  if (s && s->n_bars) return "expected headers to stand before the first bar";
  if (s && !headers[h].in_sections)
    return "expected only 'key:' and 'time:' in a section";
  if (r->seen >> h & 1u) return "expected each header only once";
  return NULL;
}

/// The rest of the line, without comment and blanks at its end.
static WayText rest_of_line(WayChartReader* r) {
  const size_t from = r->at.byte;
  while (!way_reader_at_line_end(r)) way_cursor_next(&r->at);
  return way_text_trim((WayText){r->at.text.at + from, r->at.byte - from});
}

static bool is_letter(uint32_t c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static WayStatus header_line(WayChartReader* r) {
  const WayCursor place = r->at;
  while (is_letter(way_cursor_peek(&r->at))) way_cursor_next(&r->at);
  const WayText name = {r->at.text.at + place.byte, r->at.byte - place.byte};
  way_reader_skip_blanks(r);
  if (!name.size || !way_cursor_skip(&r->at, ":"))
    return way_reader_fail(r, &place, WAY_ERR_SYNTAX,
                           "expected a bar line '|', a section '[A]' or a header such "
                           "as 'key:'");
  size_t h = 0;
  while (h < WAY_COUNT(headers) && !way_text_is_nocase(name, headers[h].name)) ++h;
  if (h == WAY_COUNT(headers)) return unknown_header(r, &place);
  const char* const why = misplaced(r, h);
  if (why) return way_reader_fail(r, &place, WAY_ERR_SYNTAX, why);
  r->seen |= 1u << h;
  way_reader_skip_blanks(r);
  const WayCursor value = r->at;
  return headers[h].read(r, &value, rest_of_line(r));
}

// Sections and form -----------------------------------------------------------------

/// Index of the section of that name; the number of sections if there is none.
static uint32_t section_find(const WayChart* c, WayText name) {
  uint32_t i = 0;
  while (i < c->n_sections && !way_text_is(name, c->sections[i].name)) ++i;
  return i;
}

static WayStatus section_end(WayChartReader* r) {
  const WayChartSection* const s = section_open(r);
  if (s && !s->n_bars)
    return way_reader_fail(r, &r->section, WAY_ERR_SYNTAX,
                           "expected bars in this section");
  return way_bars_end_section(r);
}

/// Read `[name]` into a text.
static WayStatus name_read(WayChartReader* r, WayText* out) {
  way_cursor_next(&r->at);
  const WayCursor place = r->at;
  while (way_cursor_peek(&r->at) != ']') {
    if (way_reader_at_line_end(r) || way_cursor_peek(&r->at) == '[')
      return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX,
                             "expected ']' behind the section's name");
    way_cursor_next(&r->at);
  }
  const WayText name =
      way_text_trim((WayText){r->at.text.at + place.byte, r->at.byte - place.byte});
  way_cursor_next(&r->at);
  if (!name.size)
    return way_reader_fail(r, &place, WAY_ERR_SYNTAX, "expected the section's name");
  if (name.size >= WAY_NAME_MAX)
    return way_reader_fail(r, &place, WAY_ERR_RANGE,
                           "expected a name of at most 63 bytes");
  *out = name;
  return WAY_OK;
}

static WayStatus section_line(WayChartReader* r) {
  WayStatus st = section_end(r);
  if (st) return st;
  r->section = r->at;
  WayText name = {"", 0};
  st = name_read(r, &name);
  if (st) return st;
  if (r->chart->n_sections == SECTIONS_MAX)
    return way_reader_fail(r, &r->section, WAY_ERR_RANGE,
                           "expected at most 1000 sections");
  if (section_find(r->chart, name) < r->chart->n_sections)
    return way_reader_fail(r, &r->section, WAY_ERR_SYNTAX,
                           "expected a name that no other section has");
  r->seen = 0;
  return way_reader_add_section(r, name);
}

/// Read one name of `form:`: a word, or anything in brackets.
static WayStatus form_name_read(WayChartReader* r, WayText* out) {
  if (way_cursor_peek(&r->at) == '[') return name_read(r, out);
  const size_t from = r->at.byte;
  while (!way_reader_is_blank(way_cursor_peek(&r->at)) && !way_reader_at_line_end(r))
    way_cursor_next(&r->at);
  *out = (WayText){r->at.text.at + from, r->at.byte - from};
  return WAY_OK;
}

static WayStatus form_name_add(WayChartReader* r, const WayCursor* place,
                               WayText name) {
  WayChart* const c = r->chart;
  const uint32_t section = section_find(c, name);
  if (section == c->n_sections)
    return way_reader_fail(r, place, WAY_ERR_SYNTAX,
                           "expected the name of a section of this chart");
  if (c->n_form == FORM_MAX)
    return way_reader_fail(r, place, WAY_ERR_RANGE,
                           "expected at most 10000 names of sections");
  uint32_t* const grown = way_grow(c->form, c->n_form, &r->room_form, sizeof(*c->form));
  if (!grown) return way_reader_no_memory(r);
  c->form = grown;
  c->form[c->n_form++] = section;
  return WAY_OK;
}

/// Now that all sections are known, look up the names of `form:`.
static WayStatus form_resolve(WayChartReader* r) {
  if (!r->form_text.size) return WAY_OK;
  if (!r->chart->sections[0].name[0])
    return way_reader_fail(r, &r->unnamed, WAY_ERR_SYNTAX,
                           "expected a section's name such as '[A]' before the bars, "
                           "as 'form:' is given");
  r->at = r->form;
  WayStatus st = WAY_OK;
  while (!st && !way_reader_at_line_end(r)) {
    const WayCursor place = r->at;
    WayText name = {"", 0};
    st = form_name_read(r, &name);
    if (!st) st = form_name_add(r, &place, name);
    way_reader_skip_blanks(r);
  }
  return st;
}

// The whole -------------------------------------------------------------------------

/// See that all of it is printable UTF-8.
static WayStatus check_text(WayChartReader* r) {
  WayCursor c = r->at;
  for (;;) {
    const WayCursor place = c;
    const uint32_t x = way_cursor_next(&c);
    if (x == WAY_TEXT_END) return WAY_OK;
    if (x == WAY_TEXT_INVALID)
      return way_reader_fail(r, &place, WAY_ERR_SYNTAX,
                             "expected UTF-8 text, found a byte that is not");
    if (x == 0x7F || (x < ' ' && x != '\t' && x != '\r' && x != '\n'))
      return way_reader_fail(r, &place, WAY_ERR_SYNTAX,
                             "expected text, found a control character");
  }
}

static WayStatus read_lines(WayChartReader* r) {
  for (;;) {
    way_reader_skip_blanks(r);
    WayStatus st = WAY_OK;
    if (way_bar_line_begins(&r->at)) {
      st = way_bars_read(r);
    } else if (way_cursor_peek(&r->at) == '[') {
      st = section_line(r);
      if (!st) continue; // more may stand behind the name
    } else if (!way_reader_at_line_end(r)) {
      st = header_line(r);
    }
    if (st) return st;
    if (way_cursor_peek(&r->at) == ';')
      while (way_cursor_peek(&r->at) != '\n' && way_cursor_peek(&r->at) != WAY_TEXT_END)
        way_cursor_next(&r->at);
    if (way_cursor_next(&r->at) == WAY_TEXT_END) return WAY_OK;
  }
}

/// Fill in what follows from the whole chart.
static WayStatus finish(WayChartReader* r) {
  WayChart* const c = r->chart;
  WayStatus st = section_end(r);
  if (st) return st;
  if (!c->n_bars)
    return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX, "expected a bar such as '| C |'");
  st = form_resolve(r);
  if (st) return st;
  WayChartSize size;
  if (way_chart_size(c, &size))
    return way_reader_fail(r, r->form_text.size ? &r->form : &r->at, WAY_ERR_FULL,
                           "expected at most 1000000 bars and as many chords, counting "
                           "repeats and form");
  if (c->key_given) return WAY_OK;
  WayKeyFinding found;
  st = way_chart_key_find(c, &found);
  if (st) return way_reader_no_memory(r);
  c->key = found.best.key;
  for (uint32_t i = 0; i < c->n_sections; ++i)
    if (!c->sections[i].key_given) c->sections[i].key = c->key;
  return WAY_OK;
}

WayStatus way_chart_read(WayText text, WayChart** out, WayError* error) {
  WayChartReader r = {.at = way_cursor(text), .error = error};
  if (text.size >= 3 && !memcmp(text.at, "\xEF\xBB\xBF", 3))
    r.at.byte = 3; // a byte order mark takes no column
  r.chart = calloc(1, sizeof(*r.chart));
  if (!r.chart) return way_reader_no_memory(&r);
  r.chart->metre = (WayMetre){4, 4};
  r.chart->tempo = 120;
  WayStatus st = check_text(&r);
  if (!st) st = read_lines(&r);
  if (!st) st = finish(&r);
  if (st)
    way_chart_free(r.chart);
  else
    *out = r.chart;
  return st;
}
