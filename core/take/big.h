// Large arrays: memory that comes in few, large pages where the system has them.
#ifndef WAY_TAKE_BIG_H
#define WAY_TAKE_BIG_H

#include <stddef.h>

/// realloc(), for arrays that may hold a million notes; to be freed with free().
/// Room that is never written costs no memory.
void* way_big_resize(void* at, size_t size);

#endif
