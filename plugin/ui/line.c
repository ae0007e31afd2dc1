#include "line.h"

#include <string.h>

bool way_line_set(WayLine* l, WayText text) {
  l->size = l->caret = 0;
  l->text[0] = 0;
  return way_line_insert(l, text);
}

/// Whether a byte goes on with a character.
static bool goes_on(char c) { return ((unsigned char)c & 0xC0u) == 0x80u; }

bool way_line_insert(WayLine* l, WayText text) {
  char* const copy = l->text + l->caret;
  if (text.size >= WAY_LINE_MAX - l->size) return false;
  memmove(copy + text.size, copy, l->size - l->caret + 1);
  uint32_t n = 0;
  for (WayCursor c = way_cursor(text); way_cursor_peek(&c) != WAY_TEXT_END;) {
    const size_t from = c.byte;
    const uint32_t code = way_cursor_next(&c);
    const bool wanted = (code >= 0x20 && code != 0x7F) || code == '\n';
    if (code == WAY_TEXT_INVALID || !(wanted || code == '\t')) continue;
    if (code == '\t')
      copy[n++] = ' ';
    else
      for (size_t i = from; i < c.byte; ++i) copy[n++] = text.at[i];
  }
  memmove(copy + n, copy + text.size, l->size - l->caret + 1);
  l->size += n;
  l->caret += n;
  return true;
}

void way_line_move(WayLine* l, int by) {
  if (by < 0 && l->caret) do
      --l->caret;
    while (l->caret && goes_on(l->text[l->caret]));
  if (by > 0 && l->caret < l->size) do
      ++l->caret;
    while (l->caret < l->size && goes_on(l->text[l->caret]));
}

void way_line_delete(WayLine* l, bool behind) {
  if (behind) {
    const uint32_t at = l->caret;
    way_line_move(l, 1);
    if (l->caret == at) return;
  }
  const uint32_t end = l->caret;
  way_line_move(l, -1);
  memmove(l->text + l->caret, l->text + end, l->size - end + 1);
  l->size -= end - l->caret;
}

WayText way_line_at(const WayLine* l, uint32_t byte, uint32_t* from) {
  uint32_t start = byte < l->size ? byte : l->size;
  while (start && l->text[start - 1] != '\n') --start;
  const char* const at = l->text + start;
  const char* const end = strchr(at, '\n');
  *from = start;
  return (WayText){at, end ? (size_t)(end - at) : strlen(at)};
}

void way_line_end(WayLine* l, bool end) {
  uint32_t from;
  const WayText line = way_line_at(l, l->caret, &from);
  const uint32_t to = end ? from + (uint32_t)line.size : from;
  l->caret = to != l->caret ? to : end ? l->size : 0;
}

void way_line_step(WayLine* l, int by) {
  uint32_t from, other;
  const WayText line = way_line_at(l, l->caret, &from);
  const uint32_t column = l->caret - from;
  if (by < 0 && !from) return;
  const uint32_t below = from + (uint32_t)line.size + 1;
  if (by > 0 && below > l->size) return;
  const WayText to = way_line_at(l, by < 0 ? from - 1 : below, &other);
  l->caret = other + (column < to.size ? column : (uint32_t)to.size);
  while (l->caret > other && goes_on(l->text[l->caret])) --l->caret;
}
