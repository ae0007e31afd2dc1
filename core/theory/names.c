#include "theory/names.h"

// The next character that counts, in lower case.
static uint32_t next_letter(WayCursor* c) {
  uint32_t u = way_cursor_next(c);
  while (u == ' ' || u == '\t' || u == '-' || u == '_' || u == '\'' || u == 0x2019)
    u = way_cursor_next(c);
  if (u >= 'A' && u <= 'Z') return u + ('a' - 'A');
  if (u == 0x266D) return 'b';
  if (u == 0x266F) return '#';
  return u;
}

static bool same(WayText a, WayText b) {
  WayCursor x = way_cursor(a);
  WayCursor y = way_cursor(b);
  for (;;) {
    const uint32_t u = next_letter(&x);
    if (u != next_letter(&y) || u == WAY_TEXT_INVALID) return false;
    if (u == WAY_TEXT_END) return true;
  }
}

bool way_names_hold(const char* names, WayText text) {
  while (*names) {
    size_t n = 0;
    while (names[n] && names[n] != '|') ++n;
    if (same((WayText){names, n}, text)) return true;
    names += n + (names[n] == '|');
  }
  return false;
}
