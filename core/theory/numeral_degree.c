#include "theory/numeral_degree.h"

#include "theory/spelling.h"

/// Degree letters; longest first, so that `VI` is not taken for `V`.
static const struct {
  const char *upper, *lower;
  int8_t number;
} degree_letters[] = {{"VII", "vii", 7}, {"III", "iii", 3}, {"VI", "vi", 6},
                      {"IV", "iv", 4},   {"II", "ii", 2},   {"V", "v", 5},
                      {"I", "i", 1}};

int way_numeral_accidentals_read(WayCursor* c) {
  static const struct {
    const char* text;
    int alter;
  } signs[] = {{"#", 1},      {"b", -1},         {"\u266F", 1},     {"\u266D", -1},
               {"\u266E", 0}, {"\U0001D12A", 2}, {"\U0001D12B", -2}};
  int alter = 0;
  for (size_t i = 0; i < WAY_COUNT(signs);) {
    if (alter > -WAY_ALTER_MAX && alter < WAY_ALTER_MAX &&
        way_cursor_skip(c, signs[i].text)) {
      alter += signs[i].alter;
      i = 0;
    } else {
      ++i;
    }
  }
  return alter;
}

WayNumeralDegree way_numeral_degree_read(WayCursor* c) {
  const WayCursor start = *c;
  WayNumeralDegree h = {way_numeral_accidentals_read(c), 0, false};
  for (size_t i = 0; i < WAY_COUNT(degree_letters) && !h.number; ++i) {
    h.lower = way_cursor_skip(c, degree_letters[i].lower);
    if (h.lower || way_cursor_skip(c, degree_letters[i].upper))
      h.number = degree_letters[i].number;
  }
  if (!h.number) *c = start;
  return h;
}

void way_numeral_degree_write(WayNumeralDegree d, WayOut* out) {
  for (int sign = d.accidental; sign < 0; ++sign) way_out_char(out, 'b');
  for (int sign = d.accidental; sign > 0; --sign) way_out_char(out, '#');
  for (size_t i = 0; i < WAY_COUNT(degree_letters); ++i)
    if (degree_letters[i].number == d.number)
      way_out_str(out, d.lower ? degree_letters[i].lower : degree_letters[i].upper);
}
