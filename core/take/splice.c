#include "take/splice.h"

#include "take/smf_write.h"

#include <stdlib.h>
#include <string.h>

enum { CHUNK_HEADER = 8 };

static size_t chunk_size(const uint8_t* chunk) {
  return CHUNK_HEADER + ((size_t)chunk[4] << 24 | (size_t)chunk[5] << 16 |
                         (size_t)chunk[6] << 8 | chunk[7]);
}

/// Append a chunk; returns the place behind its source.
static const uint8_t* put_chunk(uint8_t** at, const uint8_t* chunk) {
  const size_t size = chunk_size(chunk);
  memcpy(*at, chunk, size);
  *at += size;
  return chunk + size;
}

WayStatus way_splice(const uint8_t* bytes, const WaySmf* smf, uint32_t replaced,
                     const WaySmf* made, uint8_t** out, size_t* size) {
  const uint32_t n = smf->n_tracks + made->n_tracks - (replaced != WAY_NO_TRACK);
  if (n > UINT16_MAX) return WAY_ERR_RANGE;
  uint8_t* fresh = NULL;
  size_t total = 0;
  const WayStatus st = way_smf_write(made, &fresh, &total);
  if (st) return st;
  for (uint32_t t = 0; t < smf->n_tracks; ++t)
    if (t != replaced) total += chunk_size(bytes + smf->tracks[t].offset);
  uint8_t* const file = malloc(total);
  if (file) {
    uint8_t* at = file;
    const uint8_t* next = put_chunk(&at, fresh);
    // The header's format and number of tracks.
    file[9] = smf->format == 2 ? 2 : 1;
    file[10] = (uint8_t)(n >> 8);
    file[11] = (uint8_t)n;
    for (uint32_t t = 0; t < smf->n_tracks; ++t)
      if (t == replaced)
        next = put_chunk(&at, next);
      else
        put_chunk(&at, bytes + smf->tracks[t].offset);
    for (uint32_t t = replaced != WAY_NO_TRACK; t < made->n_tracks; ++t)
      next = put_chunk(&at, next);
    *out = file;
    *size = total;
  }
  free(fresh);
  return file ? WAY_OK : WAY_ERR_NO_MEMORY;
}
