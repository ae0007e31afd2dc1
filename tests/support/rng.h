// A small repeatable random source for property tests: print the seed, replay the case.
#ifndef WAY_TESTS_RNG_H
#define WAY_TESTS_RNG_H

#include <stdint.h>

/// Next number of a sequence; `*state` is the seed at first, any number.  Well mixed
/// from the first draw on, so that neighbouring seeds have nothing in common: a
/// counter, scrambled by the finalizer of MurmurHash3.
static inline uint32_t rng_next(uint32_t* state) {
  uint32_t x = *state += 0x9E3779B9u;
  x = (x ^ x >> 16) * 0x85EBCA6Bu;
  x = (x ^ x >> 13) * 0xC2B2AE35u;
  return x ^ x >> 16;
}

/// A number in 0..n-1.  One draw a call: the order of arguments is not specified in C.
static inline uint32_t rng_below(uint32_t* state, uint32_t n) {
  return (uint32_t)((uint64_t)rng_next(state) * n >> 32);
}

#endif
