#define _DEFAULT_SOURCE // madvise()
#include "take/big.h"

#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>

#define LARGE_PAGE ((uintptr_t)1 << 21)

/// realloc(), but what begins large begins with a large page.
static void* resize(void* at, size_t size) {
  if (at || size < 2 * LARGE_PAGE || size > SIZE_MAX - LARGE_PAGE)
    return realloc(at, size);
  return aligned_alloc(LARGE_PAGE, (size + LARGE_PAGE - 1) & ~(LARGE_PAGE - 1));
}

void* way_big_resize(void* at, size_t size) {
  void* const out = resize(at, size);
#ifdef MADV_HUGEPAGE
  // The first touch of each page costs more than all that a review does with it.
  const size_t before = -(uintptr_t)out & (LARGE_PAGE - 1); // bytes to the first one
  if (out && size >= before + LARGE_PAGE) // a hint: no matter if it is not taken
    (void)madvise((char*)out + before, (size - before) & ~(LARGE_PAGE - 1),
                  MADV_HUGEPAGE);
#endif
  return out;
}
