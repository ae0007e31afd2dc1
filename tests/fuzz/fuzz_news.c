// Any bytes as messages of the guide: what is understood is in range, and leaves a
// window that can be laid out and painted.
#include "../../plugin/ui/view.h"
#include "quiet_host.h"

#include <glib.h>
#include <lv2/atom/forge.h>

#include <stdlib.h>
#include <string.h>

#define MESSAGE_MAX 4096u

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

/// A name's number: the same in every run, whatever other names there are.
static LV2_URID number_of(LV2_URID_Map_Handle handle, const char* uri) {
  uint32_t h = 0x811C9DC5u;
  (void)handle;
  for (; *uri; ++uri) h = (h ^ (uint8_t)*uri) * 0x01000193u;
  return h | 1;
}

/// Bytes that are used up one after the other.
typedef struct {
  const uint8_t* at;
  size_t left;
} Bytes;

static uint8_t byte(Bytes* b) {
  if (!b->left) return 0;
  --b->left;
  return *b->at++;
}

/// A message with properties of any kind, in any order, as the bytes will have it.
static uint32_t build(Bytes* b, const WayUrids* u, LV2_Atom_Forge* f, uint8_t* buffer) {
  const LV2_URID keys[] = {u->tick,  u->speed,      u->chordFrom,      u->chord,
                           u->key,   u->notes,      u->patch_property, u->patch_value,
                           u->notes, u->chart_text, u->tagsRefused,    u->chordFrom};
  const LV2_URID types[] = {u->atom_Long,   u->atom_Double, u->atom_Int,
                            u->atom_String, u->atom_Vector, u->atom_URID,
                            u->atom_Path,   u->atom_Bool};
  const LV2_URID values[] = {u->chart_text, u->chart_message, u->chart_file, u->look};
  LV2_Atom_Forge_Frame object;
  lv2_atom_forge_set_buffer(f, buffer, MESSAGE_MAX);
  lv2_atom_forge_object(f, &object, 0, byte(b) % 2 ? u->Screen : u->patch_Set);
  for (unsigned n = byte(b) % 8; n; --n) {
    uint8_t body[255];
    const unsigned key = byte(b) % WAY_COUNT(keys), type = byte(b) % WAY_COUNT(types);
    unsigned size = byte(b) % 96;
    for (unsigned i = 0; i < size; ++i) body[i] = byte(b);
    if (types[type] == u->atom_Vector && size >= 8) {
      const LV2_Atom_Vector_Body head = {sizeof(int32_t), u->atom_Int};
      memcpy(body, &head, sizeof(head));
      size = 8 + (size - 8) / 16 * 16;
    }
    if (types[type] == u->atom_URID) {
      memcpy(body, &values[byte(b) % WAY_COUNT(values)], sizeof(LV2_URID));
      size = sizeof(LV2_URID);
    }
    lv2_atom_forge_key(f, keys[key]);
    lv2_atom_forge_atom(f, size, types[type]);
    lv2_atom_forge_write(f, body, size);
  }
  lv2_atom_forge_pop(f, &object);
  return (uint32_t)f->offset;
}

/// Hand over `size` bytes in memory of their own, so that reads past them show.
static void hand_over(WayModel* m, const WayUrids* u, const uint8_t* bytes, size_t size,
                      double now) {
  uint8_t* const own = malloc(size);
  if (!own) abort();
  memcpy(own, bytes, size);
  WayNews news;
  if (way_news_read(u, (const LV2_Atom*)(void*)own, (uint32_t)size, &news)) {
    if (news.n > WAY_WIRE_RECORDS || !(news.speed >= 0)) abort();
    way_model_news(m, &news, now);
  }
  free(own);
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  LV2_URID_Map map = {NULL, number_of};
  g_log_set_always_fatal(G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING); // bad text
  WayUrids urids;
  LV2_Atom_Forge forge;
  way_urids_init(&urids, &map);
  lv2_atom_forge_init(&forge, &map);
  WayModel* const m = quiet_model();
  WayPicture picture = {.image = NULL};
  if (!m) abort();
  const WayNews chart = {.kind = WAY_NEWS_CHART_TEXT,
                         .text = way_text("| D G>3 | Em7 |")};
  if (size % 2) way_model_news(m, &chart, 0);
  if (size >= sizeof(LV2_Atom)) hand_over(m, &urids, data, size, 0);
  Bytes bytes = {data, size};
  for (int i = 0; bytes.left && i < 16; ++i) {
    uint8_t buffer[MESSAGE_MAX] __attribute__((aligned(8)));
    hand_over(m, &urids, buffer, build(&bytes, &urids, &forge, buffer), i * 0.3);
    if (i % 4) continue;
    way_model_update(m, 160, 120, i * 0.3);
    way_ui_view_paint(&picture, m);
  }
  way_ui_view_clear(&picture);
  way_model_free(m);
  return 0;
}
