// Any bytes are refused with a place and a reason, or read, collected and written back.
#include "take/smf.h"
#include "take/smf_read.h"
#include "take/smf_write.h"
#include "take/take.h"
#include "take/tempo_map.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

static void require(bool holds) {
  if (!holds) abort();
}

static void check_same(const WaySmf* a, const WaySmf* b) {
  require(a->n_tracks == b->n_tracks);
  for (uint32_t t = 0; t < a->n_tracks; ++t) {
    require(a->tracks[t].n == b->tracks[t].n && a->tracks[t].end == b->tracks[t].end);
    for (uint32_t i = 0; i < a->tracks[t].n; ++i) {
      const WaySmfEvent *x = &a->tracks[t].events[i], *y = &b->tracks[t].events[i];
      require(x->tick == y->tick && x->size == y->size &&
              !memcmp(x->bytes, y->bytes, x->size));
    }
  }
}

static void check_written(const WaySmf* smf) {
  uint8_t* bytes = NULL;
  size_t size = 0;
  if (way_smf_write(smf, &bytes, &size)) return; // more tracks than a header can count
  WaySmf* again = NULL;
  require(!way_smf_read(bytes, size, &again, NULL));
  check_same(smf, again);
  way_smf_free(again);
  free(bytes);
}

static void check_collected(const WaySmf* smf) {
  const WayTakeChoice any = {-1, NULL, 0};
  WayTake* take = NULL;
  if (way_take_new(smf, &any, &take, NULL)) return;
  for (uint32_t i = 0; i < take->n; ++i) {
    require(take->notes[i].length >= 0 && take->notes[i].pitch < 128);
    require(!i || take->notes[i - 1].start <= take->notes[i].start);
  }
  way_take_free(take);
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  WaySmf* smf = NULL;
  WayError error = {WAY_OK, 0, 0, 0, ""};
  if (way_smf_read(data, size, &smf, &error)) {
    require(error.status && error.byte <= size && error.message[0]);
    return 0;
  }
  check_written(smf);
  check_collected(smf);
  WayTempoMap* const map = way_tempo_map_new(smf);
  require(map && way_tempo_map_seconds(map, 1000) >= way_tempo_map_seconds(map, 0));
  way_tempo_map_free(map);
  way_smf_free(smf);
  return 0;
}
