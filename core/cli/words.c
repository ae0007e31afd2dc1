#include "cli/words.h"

#include <stdio.h>

const char* way_cli_note(char* buffer, WaySpelling note) {
  WayOut out = way_out(buffer, WAY_SPELLING_MAX);
  way_spelling_write(note, &out);
  return buffer;
}

const char* way_cli_degree(char* buffer, WayDegree degree) {
  WayOut out = way_out(buffer, WAY_SPELLING_MAX);
  way_degree_write(degree, &out);
  return buffer;
}

void way_cli_print_refused(WayText input, const WayError* error) {
  for (size_t i = 0; i < input.size; ++i) {
    const char c = input.at[i];
    putchar((unsigned char)c < ' ' || c == 0x7F ? ' ' : c);
  }
  printf("\terror\t%u\t%s\n", error->column, error->message);
}

/// A JSON string of any bytes: what is not UTF-8 becomes a replacement character.
static json_t* string_of(WayText text) {
  json_t* const exact = json_stringn(text.at, text.size);
  if (exact) return exact;
  char fixed[512];
  WayOut out = way_out(fixed, sizeof(fixed));
  WayCursor c = way_cursor(text);
  while (c.byte < text.size) {
    const size_t from = c.byte;
    const bool bad = way_cursor_next(&c) == WAY_TEXT_INVALID;
    if (bad)
      way_out_str(&out, "\xEF\xBF\xBD");
    else
      way_out_text(&out, (WayText){text.at + from, c.byte - from});
  }
  return json_string(fixed);
}

json_t* way_cli_refused_json(WayText input, const WayError* error) {
  return json_pack("{s:o, s:{s:i, s:s}}", "given", string_of(input), "error", "column",
                   (int)error->column, "message", error->message);
}

json_t* way_cli_given_json(WayText input, json_t* answer) {
  json_object_set_new(answer, "given", string_of(input));
  return answer;
}
