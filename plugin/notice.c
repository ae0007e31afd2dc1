#include "notice.h"

// A sequence lock: the fences keep the words between the two steps of the turn.
bool way_notice_put(WayNoticeTurn* turn, WayNoticeWord* notice, const uint32_t* words,
                    size_t n) {
  uint32_t before = atomic_load_explicit(turn, memory_order_relaxed);
  if (before % 2 || !atomic_compare_exchange_strong_explicit(turn, &before, before + 1,
                                                             memory_order_acquire,
                                                             memory_order_relaxed))
    return false;
  atomic_thread_fence(memory_order_release);
  for (size_t i = 0; i < n; ++i)
    atomic_store_explicit(&notice[i], words[i], memory_order_relaxed);
  atomic_store_explicit(turn, before + 2, memory_order_release);
  return true;
}

bool way_notice_read(const WayNoticeTurn* turn, const WayNoticeWord* notice,
                     uint32_t* words, size_t n) {
  const uint32_t before = atomic_load_explicit(turn, memory_order_acquire);
  for (size_t i = 0; i < n; ++i)
    words[i] = atomic_load_explicit(&notice[i], memory_order_relaxed);
  atomic_thread_fence(memory_order_acquire);
  return before % 2 == 0 && atomic_load_explicit(turn, memory_order_relaxed) == before;
}
