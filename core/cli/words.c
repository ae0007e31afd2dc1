#include "cli/words.h"

#include <stdio.h>
#include <string.h>

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

/// Read `60` or `C4`; -1 if it is neither.
static int read_pitch(WayText text) {
  WayCursor c = way_cursor(text);
  WaySpelling note;
  const bool named = !way_spelling_read(&c, &note, NULL);
  const bool negative = named && way_cursor_skip(&c, "-");
  int number = 0;
  const size_t digits = text.size - c.byte;
  if (!digits || digits > 3) return -1;
  while (c.byte < text.size) {
    const uint32_t digit = way_cursor_next(&c);
    if (digit < '0' || digit > '9') return -1;
    number = 10 * number + (int)(digit - '0');
  }
  if (!named) return number;
  // Semitones of the letter itself: B# counts up from its own octave.
  const int letter = way_spelling_pc((WaySpelling){note.letter, 0});
  return 12 * ((negative ? -number : number) + 1) + letter + note.alter;
}

WayExit way_cli_pitch(const WayArgs* args, unsigned option, uint8_t* out) {
  const char* const text = args->value[option];
  if (!text) return WAY_EXIT_OK;
  const int pitch = read_pitch(way_text(text));
  if (pitch < 0 || pitch > 127)
    return way_cli_usage(args,
                         "--%s: expected a note such as G3, or 0 to 127, not '%s'",
                         args->command->options[option].name, text);
  *out = (uint8_t)pitch;
  return WAY_EXIT_OK;
}

WayExit way_cli_range(const WayArgs* args, unsigned low, unsigned high, int least,
                      int most, uint8_t* from, uint8_t* to) {
  if (way_cli_pitch(args, low, from) || way_cli_pitch(args, high, to))
    return WAY_EXIT_USAGE;
  const int wide = *to - *from + 1;
  if (wide >= least && wide <= most) return WAY_EXIT_OK;
  const WayOption* const options = args->command->options;
  return way_cli_usage(args, "--%s, --%s: %u to %u is not a range of %d to %d keys",
                       options[low].name, options[high].name, *from, *to, least, most);
}
