// A small repeatable random source for property tests: print the seed, replay the case.
#ifndef WAY_TESTS_RNG_H
#define WAY_TESTS_RNG_H

#include <stdint.h>

/// Next number of a xorshift sequence; `*state` is the seed at first and never 0.
static inline uint32_t rng_next(uint32_t* state) {
  uint32_t x = *state ? *state : 1;
  x ^= x << 13;
  x ^= x >> 17;
  x ^= x << 5;
  return *state = x;
}

/// A number in 0..n-1.  One draw a call: the order of arguments is not specified in C.
static inline uint32_t rng_below(uint32_t* state, uint32_t n) {
  return (uint32_t)((uint64_t)rng_next(state) * n >> 32);
}

#endif
