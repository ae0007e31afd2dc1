#include "take/byte_store.h"

#include "take/big.h"

#include <stdlib.h>

typedef struct WayByteBlock {
  struct WayByteBlock* next;
  size_t used, room;
  uint8_t bytes[];
} Block;

uint8_t* way_byte_store_take(WayByteStore* store, size_t size, size_t block) {
  Block* b = store->blocks;
  if (!b || b->room - b->used < size) {
    const size_t room = size > block ? size : block;
    b = way_big_resize(NULL, sizeof(*b) + room);
    if (!b) return NULL;
    *b = (Block){store->blocks, 0, room};
    store->blocks = b;
  }
  b->used += size;
  return b->bytes + b->used - size;
}

void way_byte_store_clear(WayByteStore* store) {
  for (Block *b = store->blocks, *next; b; b = next) {
    next = b->next;
    free(b);
  }
  store->blocks = NULL;
}
