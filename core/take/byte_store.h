// Bytes that stay where they are while more are added, and end all at once.
#ifndef WAY_TAKE_BYTE_STORE_H
#define WAY_TAKE_BYTE_STORE_H

#include <stddef.h>
#include <stdint.h>

/// A store.  Starts as `{0}`; ended by way_byte_store_clear().
typedef struct {
  struct WayByteBlock* blocks; ///< The first one has room left
} WayByteStore;

/**
   Take room for some bytes.

   @param size  How many; not yet written to.
   @param block Where no room is left that much is asked of the system at once, or
                `size` if that is more.
   @return Lasts as long as the store; NULL if out of memory.
*/
uint8_t* way_byte_store_take(WayByteStore* store, size_t size, size_t block);
/// Free everything; the store is then empty.
void way_byte_store_clear(WayByteStore* store);

#endif
