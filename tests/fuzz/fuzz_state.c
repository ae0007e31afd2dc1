// Any bytes as a saved state: the guide takes it or leaves it, and plays on.
#include "bare_host.h"

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

/// A state whose properties are cut from the input: for each key, in turn, a type, a
/// size and that many bytes.
typedef struct {
  Bare* host;
  const uint8_t* at;
  size_t left;
  void* held[32]; ///< What was handed out, each a block of its own
  unsigned n_held;
} Blob;

static const void* retrieve(LV2_State_Handle handle, uint32_t key, size_t* size,
                            uint32_t* type, uint32_t* flags) {
  static const char* const types[] = {LV2_ATOM__String, LV2_ATOM__Path, LV2_ATOM__Int,
                                      LV2_ATOM__Bool};
  Blob* const b = (Blob*)handle;
  (void)key;
  if (b->left < 2 || b->n_held == 32 || !b->at[0]) return NULL;
  const unsigned what = b->at[0], wanted = b->at[1];
  b->at += 2;
  b->left -= 2;
  const size_t n = wanted < b->left ? wanted : b->left;
  void* const copy = malloc(n ? n : 1);
  if (!copy) abort();
  memcpy(copy, b->at, n);
  b->at += n;
  b->left -= n;
  b->held[b->n_held++] = copy;
  *size = n;
  *type = bare_map(b->host, types[what % 4]);
  *flags = LV2_STATE_IS_POD;
  return copy;
}

static LV2_State_Status store(LV2_State_Handle handle, uint32_t key, const void* value,
                              size_t size, uint32_t type, uint32_t flags) {
  (void)handle, (void)key, (void)type, (void)flags;
  uint32_t sum = 0; // every byte can be read
  for (size_t i = 0; i < size; ++i) sum += ((const uint8_t*)value)[i];
  return sum == UINT32_MAX ? LV2_STATE_ERR_UNKNOWN : LV2_STATE_SUCCESS;
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  Bare* const host = bare_new();
  bare_restore(host, bare_chart, host);
  bare_run(host, 64);
  Blob blob = {.host = host, .at = data, .left = size};
  bare_restore(host, retrieve, &blob);
  const uint8_t note[] = {0x90, 60, 90};
  bare_add(host, WAY_PORT_MELODY, 3, bare_map(host, LV2_MIDI__MidiEvent), note, 3);
  bare_run(host, 64);
  const LV2_State_Interface* const s =
      (const LV2_State_Interface*)host->d->extension_data(LV2_STATE__interface);
  s->save(host->instance, store, NULL, 0, host->features);
  for (unsigned i = 0; i < blob.n_held; ++i) free(blob.held[i]);
  bare_free(host);
  return 0;
}
