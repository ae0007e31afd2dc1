// Stands in for libFuzzer where the compiler has none: hands each file named on the
// command line, and some scrambled copies of it, to the fuzzer.
#include "rng.h"

#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

static void scramble(const uint8_t* data, size_t size, uint32_t seed) {
  uint8_t* const copy =
      malloc(size ? size : 1); // its own block, so that reads past it show
  if (!copy) abort();
  for (size_t i = 0; i < size; ++i) copy[i] = data[i];
  uint32_t rng = seed;
  for (uint32_t n = 1 + rng_below(&rng, 8); size && n--;) {
    const uint32_t at = rng_below(&rng, (uint32_t)size);
    copy[at] = (uint8_t)rng_next(&rng);
  }
  const size_t cut = size && !(seed % 4) ? rng_below(&rng, (uint32_t)size) : size;
  LLVMFuzzerTestOneInput(copy, cut);
  free(copy);
}

int main(int argc, char** argv) {
  static uint8_t data[1 << 16];
  LLVMFuzzerTestOneInput(data, 0);
  for (int i = 1; i < argc; ++i) {
    FILE* const file = fopen(argv[i], "rb");
    if (!file) {
      perror(argv[i]);
      return 1;
    }
    const size_t size = fread(data, 1, sizeof(data), file);
    fclose(file);
    LLVMFuzzerTestOneInput(data, size);
    for (uint32_t seed = 1; seed <= 200; ++seed) scramble(data, size, seed);
  }
  return 0;
}
