#include "alloc.h"

#include <stddef.h>

static long countdown; // to the failure; 0: none is due
static bool failed;

void alloc_fail_at(long n) {
  countdown = n;
  failed = false;
}

bool alloc_failed(void) { return failed; }

static bool fails(void) {
  if (!countdown || --countdown) return false;
  return failed = true;
}

// Names given by the linker's --wrap.
void* __real_malloc(size_t size);
void* __real_calloc(size_t n, size_t size);
void* __real_realloc(void* old, size_t size);
void* __wrap_malloc(size_t size);
void* __wrap_calloc(size_t n, size_t size);
void* __wrap_realloc(void* old, size_t size);

void* __wrap_malloc(size_t size) { return fails() ? NULL : __real_malloc(size); }
void* __wrap_calloc(size_t n, size_t size) {
  return fails() ? NULL : __real_calloc(n, size);
}
void* __wrap_realloc(void* old, size_t size) {
  return fails() ? NULL : __real_realloc(old, size);
}
