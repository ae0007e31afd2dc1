#include "look.h"

#include <string.h>

#define WORDS (WAY_LOOK_MAX / sizeof(uint64_t))

bool way_look_set(WayLook* look, const char* text, size_t size) {
  uint64_t words[WORDS] = {0};
  if (size >= sizeof(words)) return false;
  memcpy(words, text, size);
  unsigned turn = atomic_load_explicit(&look->turn, memory_order_relaxed);
  if (turn % 2 || !atomic_compare_exchange_strong_explicit(&look->turn, &turn, turn + 1,
                                                           memory_order_acquire,
                                                           memory_order_relaxed))
    return false;
  atomic_thread_fence(memory_order_release);
  for (size_t i = 0; i < WORDS; ++i)
    atomic_store_explicit(&look->words[i], words[i], memory_order_relaxed);
  atomic_store_explicit(&look->turn, turn + 2, memory_order_release);
  return true;
}

bool way_look_get(const WayLook* look, char out[WAY_LOOK_MAX]) {
  uint64_t words[WORDS];
  const unsigned turn = atomic_load_explicit(&look->turn, memory_order_acquire);
  for (size_t i = 0; i < WORDS; ++i)
    words[i] = atomic_load_explicit(&look->words[i], memory_order_relaxed);
  atomic_thread_fence(memory_order_acquire);
  memcpy(out, words, sizeof(words));
  return turn % 2 == 0 &&
         atomic_load_explicit(&look->turn, memory_order_relaxed) == turn;
}

unsigned way_look_turn(const WayLook* look) {
  return atomic_load_explicit(&look->turn, memory_order_relaxed);
}
