// Any bytes as a key: what is read can be written and read again, what is not has a
// place and a message.
#include "theory/key.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  const WayText text = {(const char*)data, size};
  WayKey key = {{0, 0}, WAY_MODE_COUNT};
  WayError error;
  if (way_key_read(text, &key, &error)) {
    if (key.mode != WAY_MODE_COUNT || !error.message[0] || error.byte > size) abort();
    return 0;
  }
  char written[32];
  WayOut out = way_out(written, sizeof(written));
  way_key_write(key, &out);
  WayKey again;
  if (out.cut || way_key_read(way_text(written), &again, NULL)) abort();
  if (again.mode != key.mode || !way_spelling_equal(again.tonic, key.tonic)) abort();
  for (WayPc pc = 0; pc < 12; ++pc)
    if (way_spelling_pc(way_key_spell(key, pc)) != pc) abort();
  return 0;
}
