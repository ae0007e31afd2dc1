// Any bytes as a chord symbol: what is read can be written and read again, what is not
// has a place and a message.
#include "theory/chord_read.h"
#include "theory/chord_write.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  const WayText text = {(const char*)data, size};
  WayChord chord;
  WayError error;
  if (way_chord_read(text, &chord, &error)) {
    if (!error.message[0] || error.byte > size || !error.column) abort();
    return 0;
  }
  char written[WAY_SYMBOL_MAX];
  WayOut out = way_out(written, sizeof(written));
  way_chord_write(&chord, &out);
  WayChord again;
  if (out.cut || way_chord_read(way_text(written), &again, NULL)) abort();
  if (!way_chord_equal(&chord, &again)) abort();
  return 0;
}
