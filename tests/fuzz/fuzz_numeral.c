// Any bytes as a numeral, in a key the first byte chooses: what is read is a chord that
// can be named again, what is not has a place and a message.
#include "theory/function.h"
#include "theory/numeral_read.h"
#include "theory/numeral_write.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  if (!size) return 0;
  const WayText text = {(const char*)data + 1, size - 1};
  const WayKey key = {way_spelling_at_fifths(data[0] % 15 - 7),
                      (WayMode)(data[0] / 15 % WAY_MODE_COUNT)};
  WayChord chord = way_chord_none();
  WayError error;
  const WayStatus st = way_numeral_read(text, key, &chord, &error);
  if (st && (chord.n_tones || !error.message[0] || error.byte > text.size)) abort();
  if (chord.n_basic > chord.n_tones || chord.n_tones > WAY_CHORD_TONES_MAX) abort();
  char numeral[WAY_NUMERAL_MAX];
  WayOut out = way_out(numeral, sizeof(numeral));
  way_numeral_write(&chord, NULL, key, &out);
  if (!numeral[0]) abort();
  way_function(&chord, NULL, key);
  return 0;
}
