#include "look.h"

#include <string.h>

bool way_look_set(WayLook* look, const char* text, size_t size) {
  uint32_t words[WAY_LOOK_WORDS] = {0};
  if (size >= sizeof(words)) return false;
  memcpy(words, text, size);
  return way_notice_put(&look->turn, look->words, words, WAY_LOOK_WORDS);
}

bool way_look_get(const WayLook* look, char out[WAY_LOOK_MAX]) {
  uint32_t words[WAY_LOOK_WORDS];
  const bool whole = way_notice_read(&look->turn, look->words, words, WAY_LOOK_WORDS);
  memcpy(out, words, sizeof(words));
  return whole;
}

unsigned way_look_turn(const WayLook* look) {
  return atomic_load_explicit(&look->turn, memory_order_relaxed);
}
