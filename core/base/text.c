#include "base/text.h"

#include <string.h>

WayText way_text(const char* string) { return (WayText){string, strlen(string)}; }

bool way_text_is(WayText text, const char* string) {
  return text.size == strlen(string) && !memcmp(text.at, string, text.size);
}

static char lower(char c) { return c >= 'A' && c <= 'Z' ? (char)(c + 32) : c; }

bool way_text_is_nocase(WayText text, const char* string) {
  if (text.size != strlen(string)) return false;
  for (size_t i = 0; i < text.size; ++i)
    if (lower(text.at[i]) != lower(string[i])) return false;
  return true;
}

static bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }

bool way_text_starts(WayText text, const char* string) {
  const size_t n = strlen(string);
  return text.size >= n && !memcmp(text.at, string, n);
}

WayText way_text_trim(WayText text) {
  while (text.size && is_blank(text.at[text.size - 1])) --text.size;
  while (text.size && is_blank(text.at[0])) {
    ++text.at;
    --text.size;
  }
  return text;
}

WayCursor way_cursor(WayText text) { return (WayCursor){text, 0, 1, 1}; }

/// Decode one scalar; `*size` receives the bytes it takes (1 if invalid).
static uint32_t decode(const WayCursor* c, size_t* size) {
  static const struct {
    uint8_t mask, lead; // the first byte, masked, is the lead
    uint32_t least;     // smaller values are overlong
  } forms[] = {{0xE0, 0xC0, 0x80}, {0xF0, 0xE0, 0x800}, {0xF8, 0xF0, 0x10000}};
  *size = 1;
  if (c->byte >= c->text.size) return WAY_TEXT_END;
  const uint8_t* const at = (const uint8_t*)c->text.at + c->byte;
  const size_t left = c->text.size - c->byte;
  if (at[0] < 0x80) return at[0];
  for (size_t f = 0; f < WAY_COUNT(forms); ++f) {
    if ((at[0] & forms[f].mask) != forms[f].lead) continue;
    const size_t n = f + 2;
    if (n > left) return WAY_TEXT_INVALID;
    uint32_t value = at[0] & (uint8_t)~forms[f].mask;
    for (size_t i = 1; i < n; ++i) {
      if ((at[i] & 0xC0) != 0x80) return WAY_TEXT_INVALID;
      value = value << 6 | (at[i] & 0x3F);
    }
    if (value < forms[f].least || value > 0x10FFFF) return WAY_TEXT_INVALID;
    if (value >= 0xD800 && value <= 0xDFFF) return WAY_TEXT_INVALID;
    *size = n;
    return value;
  }
  return WAY_TEXT_INVALID;
}

uint32_t way_cursor_peek(const WayCursor* c) {
  size_t size;
  return decode(c, &size);
}

uint32_t way_cursor_next(WayCursor* c) {
  size_t size;
  const uint32_t value = decode(c, &size);
  if (value == WAY_TEXT_END) return value;
  c->byte += size;
  if (value == '\n') {
    ++c->line;
    c->column = 1;
  } else {
    ++c->column;
  }
  return value;
}

bool way_cursor_skip(WayCursor* c, const char* word) {
  const size_t n = strlen(word);
  if (c->text.size - c->byte < n || memcmp(c->text.at + c->byte, word, n)) return false;
  for (const size_t end = c->byte + n; c->byte < end;) way_cursor_next(c);
  return true;
}

void way_cursor_skip_blanks(WayCursor* c) {
  while (way_cursor_peek(c) == ' ' || way_cursor_peek(c) == '\t') way_cursor_next(c);
}

WayStatus way_cursor_fail(const WayCursor* c, WayStatus status, const char* message,
                          WayError* error) {
  if (!error) return status;
  way_fail(status, message, error);
  error->byte = c->byte;
  error->line = c->line;
  error->column = c->column;
  return status;
}

WayStatus way_fail(WayStatus status, const char* message, WayError* error) {
  if (!error) return status;
  *error = (WayError){.status = status};
  WayOut out = way_out(error->message, sizeof(error->message));
  way_out_str(&out, message);
  return status;
}

WayOut way_out(char* buffer, size_t room) {
  buffer[0] = '\0';
  return (WayOut){buffer, room, 0, false};
}

void way_out_text(WayOut* out, WayText text) {
  if (out->cut) return;
  size_t n = text.size;
  if (n > out->room - 1 - out->size) {
    n = out->room - 1 - out->size;
    while (n && ((uint8_t)text.at[n] & 0xC0) == 0x80) --n; // not inside a sequence
    out->cut = true;
  }
  memcpy(out->at + out->size, text.at, n);
  out->size += n;
  out->at[out->size] = '\0';
}

void way_out_str(WayOut* out, const char* string) {
  way_out_text(out, way_text(string));
}

void way_out_char(WayOut* out, char c) { way_out_text(out, (WayText){&c, 1}); }

void way_out_int(WayOut* out, int64_t value) {
  char digits[24];
  size_t at = sizeof(digits);
  uint64_t left = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
  do {
    digits[--at] = (char)('0' + left % 10);
    left /= 10;
  } while (left);
  if (value < 0) digits[--at] = '-';
  way_out_text(out, (WayText){digits + at, sizeof(digits) - at});
}
