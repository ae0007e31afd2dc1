// Any bytes as the name of a scale: what is read is a whole scale, what is not has a
// place and a message, and nothing is read past the end.
#include "theory/scale.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  const WayText text = {(const char*)data, size};
  WayScale s = {.n = 0};
  WayError error;
  const WayStatus st = way_scale_read(text, &s, &error);
  if (st && (s.n || !error.message[0] || error.byte > size || !error.column)) abort();
  if (!st && (!s.type || s.n < 5 || way_pcs_count(way_scale_pcs(&s)) != s.n)) abort();
  way_scale_find(text);
  return 0;
}
