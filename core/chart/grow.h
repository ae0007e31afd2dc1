// Arrays that grow one item at a time.
#ifndef WAY_CHART_GROW_H
#define WAY_CHART_GROW_H

#include <stddef.h>
#include <stdint.h>

/**
   Make room in an array for one more item.

   @param items The array, allocated; NULL while it is empty.
   @param n     Items in it.
   @param room  Items it has room for; receives how many it has then.
   @param size  Bytes of one item.
   @return Where the array then stands, `items` if there was room; NULL if memory ran
   out, and nothing was changed.
*/
void* way_grow(void* items, uint32_t n, uint32_t* room, size_t size);

#endif
