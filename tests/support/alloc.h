// Makes memory run out on purpose: every unit test is linked with this allocator.
#ifndef WAY_TESTS_ALLOC_H
#define WAY_TESTS_ALLOC_H

#include <stdbool.h>

/// Let the `n`-th allocation from now fail (1: the next one), and all others succeed;
/// 0 ends it.
void alloc_fail_at(long n);
/// Whether an allocation has failed since alloc_fail_at().
bool alloc_failed(void);

#endif
