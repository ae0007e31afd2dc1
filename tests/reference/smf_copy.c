// Reads a MIDI file and writes it again: usage: smf_copy IN OUT
#include "take/smf.h"
#include "take/smf_read.h"
#include "take/smf_write.h"

#include <stdio.h>
#include <stdlib.h>

static WayStatus copy(const uint8_t* bytes, size_t size, FILE* to, WayError* error) {
  WaySmf* smf = NULL;
  WayStatus st = way_smf_read(bytes, size, &smf, error);
  if (st) return st;
  uint8_t* out = NULL;
  size_t n = 0;
  st = way_smf_write(smf, &out, &n);
  way_smf_free(smf);
  if (st) return st;
  const bool done = fwrite(out, 1, n, to) == n;
  free(out);
  return done ? WAY_OK : WAY_ERR_IO;
}

int main(int argc, char** argv) {
  FILE* const in = argc == 3 ? fopen(argv[1], "rb") : NULL;
  FILE* const to = in ? fopen(argv[2], "wb") : NULL;
  uint8_t* const bytes = malloc(1 << 24);
  if (!to || !bytes) return 2;
  WayError error = {WAY_OK, 0, 0, 0, ""};
  const WayStatus st = copy(bytes, fread(bytes, 1, 1 << 24, in), to, &error);
  if (st) fprintf(stderr, "byte %zu: %s\n", error.byte, error.message);
  free(bytes);
  fclose(in);
  return fclose(to) || st;
}
