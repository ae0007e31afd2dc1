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
