#include "theory/chord_fold.h"

#include <string.h>

/// ASCII for a character beyond ASCII; "\1" if it has no place in a symbol.
static const char* fold_scalar(uint32_t scalar) {
  static const struct {
    uint32_t scalar;
    char text[3];
  } signs[] = {
      {0x266E, "\3"},  {0x266F, "#"},   {0xFF03, "#"}, {0x266D, "b"}, {0x1D47, "b"},
      {0x1D12A, "##"}, {0x1D12B, "bb"}, {0x2206, "^"}, {0x0394, "^"}, {0x25B3, "^"},
      {0x25B5, "^"},   {0x00B0, "o"},   {0x00BA, "o"}, {0x1D52, "o"}, {0x25CB, "o"},
      {0x00D8, "h"},   {0x00F8, "h"},   {0x2300, "h"}, {0x2205, "h"}, {0x2010, "-"},
      {0x2011, "-"},   {0x2012, "-"},   {0x2013, "-"}, {0x2212, "-"}, {0x207B, "-"},
      {0x207A, "+"},   {0x207D, "("},   {0x207E, ")"}, {0x00A0, " "}, {0x2009, " "},
      {0x202F, " "},   {0x2215, "/"},   {0x2044, "/"}, {0x00B9, "1"}, {0x00B2, "2"},
      {0x00B3, "3"},   {0x1D43, "a"},   {0x1D48, "d"}, {0x2071, "i"}, {0x02B2, "j"},
      {0x1D50, "m"},   {0x1D39, "M"},   {0x207F, "n"}, {0x02E2, "s"}, {0x1D58, "u"},
      {0x1D4D, "g"},
  };
  static const char digits[10][2] = {"0", "1", "2", "3", "4", "5", "6", "7", "8", "9"};
  if (scalar >= 0x2070 && scalar <= 0x2079 && scalar != 0x2071)
    return digits[scalar - 0x2070]; // superscripts
  if (scalar >= 0x2080 && scalar <= 0x2089) return digits[scalar - 0x2080];
  for (size_t i = 0; i < WAY_COUNT(signs); ++i)
    if (signs[i].scalar == scalar) return signs[i].text;
  return "\1";
}

/// Fold the next character into `to` (room for two); returns how many it became.
static size_t fold_next(WayCursor* c, char* to) {
  const uint32_t scalar = way_cursor_next(c);
  if (scalar < 0x80) {
    to[0] = (char)(scalar == '\t' ? ' ' : scalar < ' ' ? WAY_FOLD_BAD : scalar);
    return 1;
  }
  const char* const folded = fold_scalar(scalar);
  const size_t n = strlen(folded);
  memcpy(to, folded, n);
  return n;
}

void way_chord_fold(WayText text, char to[WAY_FOLD_MAX]) {
  size_t n = 0;
  size_t byte = 0;
  while (byte < text.size && n < WAY_FOLD_CHARS) { // most symbols are plain ASCII
    const char c = text.at[byte];
    if (c <= ' ' || c > '~') break;
    to[n++] = c;
    ++byte;
  }
  if (byte < text.size) {
    WayCursor c = way_cursor(text);
    c.byte = byte;
    while (n < WAY_FOLD_CHARS && c.byte < text.size) n += fold_next(&c, to + n);
    if (c.byte < text.size) to[n++] = WAY_FOLD_TOO_LONG;
    while (n && to[n - 1] == ' ') --n;
  }
  memset(to + n, 0, WAY_FOLD_ZEROS);
}

WayCursor way_chord_fold_place(WayText text, size_t folded) {
  WayCursor c = way_cursor(text);
  for (size_t n = 0; c.byte < text.size;) {
    WayCursor next = c;
    char ignored[4];
    n += fold_next(&next, ignored);
    if (n > folded) break;
    c = next;
  }
  return c;
}
