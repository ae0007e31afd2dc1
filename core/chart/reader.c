#include "chart/reader.h"

#include "chart/grow.h"

#include <string.h>

WayStatus way_reader_fail(WayChartReader* r, const WayCursor* place, WayStatus status,
                          const char* message) {
  return way_cursor_fail(place, status, message, r->error);
}

WayStatus way_reader_fail_inside(WayChartReader* r, const WayCursor* place,
                                 const WayError* inner) {
  if (!r->error) return inner->status;
  *r->error = *inner;
  r->error->byte += place->byte;
  r->error->line = place->line;
  r->error->column = place->column + (inner->column ? inner->column - 1 : 0);
  return inner->status;
}

WayStatus way_reader_no_memory(WayChartReader* r) {
  return way_reader_fail(r, &r->at, WAY_ERR_NO_MEMORY, way_strerror(WAY_ERR_NO_MEMORY));
}

bool way_reader_is_blank(uint32_t c) { return c == ' ' || c == '\t' || c == '\r'; }

bool way_reader_ends_line(uint32_t c) {
  return c == '\n' || c == ';' || c == WAY_TEXT_END;
}

void way_reader_skip_blanks(WayChartReader* r) {
  while (way_reader_is_blank(way_cursor_peek(&r->at))) way_cursor_next(&r->at);
}

bool way_reader_at_line_end(const WayChartReader* r) {
  return way_reader_ends_line(way_cursor_peek(&r->at));
}

bool way_reader_is_digit(uint32_t c) { return c >= '0' && c <= '9'; }

uint32_t way_reader_number(WayCursor* c) {
  uint32_t n = 0;
  for (; way_reader_is_digit(way_cursor_peek(c)); way_cursor_next(c)) {
    n = n * 10 + (way_cursor_peek(c) - '0');
    if (n > 1000000) n = 1000000;
  }
  return n;
}

WayStatus way_reader_add_section(WayChartReader* r, WayText name) {
  WayChart* const c = r->chart;
  WayChartSection* const grown =
      way_grow(c->sections, c->n_sections, &r->room_sections, sizeof(*c->sections));
  if (!grown) return way_reader_no_memory(r);
  c->sections = grown;
  WayChartSection* const s = &c->sections[c->n_sections++];
  memset(s, 0, sizeof(*s));
  WayOut out = way_out(s->name, sizeof(s->name));
  way_out_text(&out, name);
  s->first_bar = c->n_bars;
  s->key = c->key;
  s->metre = c->metre;
  return WAY_OK;
}
