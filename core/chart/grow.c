#include "chart/grow.h"

#include <stdlib.h>

/// Room of the first allocation.
#define FIRST 16u

void* way_grow(void* items, uint32_t n, uint32_t* room, size_t size) {
  if (n < *room) return items;
  if (*room > UINT32_MAX / 2) return NULL;
  const uint32_t more = *room ? 2 * *room : FIRST;
  void* const grown = realloc(items, more * size);
  if (grown) *room = more;
  return grown;
}
