#include "draw/measure.h"

#include "theory/chord_write.h"

#include <string.h>

double way_measure_text(const char* text) {
  double width = 0;
  for (; *text; ++text) {
    if (((unsigned char)*text & 0xC0u) == 0x80u) continue; // goes on with a character
    width += strchr("fijlrt.,:'|()-", *text) ? 0.38
             : strchr("mwMW@%", *text)       ? 0.95
                                             : 0.62;
  }
  return width;
}

double way_measure_symbol(const WayChord* chord) {
  char text[WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(chord, &out);
  return 0.8 + 0.46 * (double)(out.size - 1) + 0.4;
}

/// Break into lines of up to `room` bytes; the last one holds what is left.
static unsigned wrap(const char* text, size_t room, unsigned most, WayText* lines) {
  WayText rest = way_text(text);
  unsigned n = 0;
  while (rest.size > room && n + 1 < most) {
    size_t end = room;
    while (end && rest.at[end] != ' ') --end;
    if (!end) end = room; // a word longer than the line
    while (end < rest.size && ((uint8_t)rest.at[end] & 0xC0) == 0x80)
      ++end; // not within a letter
    lines[n++] = (WayText){rest.at, end};
    rest = way_text_trim((WayText){rest.at + end, rest.size - end});
  }
  if (rest.size) lines[n++] = rest;
  return n;
}

unsigned way_measure_wrap(const char* text, double size, double width, unsigned most,
                          WayText* lines) {
  size_t room = (size_t)(width / (0.54 * size));
  const unsigned n = wrap(text, room, most, lines);
  // Lines about equally long: no single word in the last.
  while (n > 1 && room > 1 && lines[n - 1].size < room) {
    if (wrap(text, room - 1, most, lines) != n || lines[n - 1].size > room - 1) break;
    --room;
  }
  return wrap(text, room, most, lines);
}
