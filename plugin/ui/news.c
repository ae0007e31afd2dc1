#include "news.h"

#include "../object.h"
#include "theory/chord_read.h"

#include <math.h>
#include <string.h>

#define SPEED_MAX 1e9 // ticks a second: far above any tempo
#define TICK_MAX (INT64_C(1) << 48)

/// The bytes behind an atom of a type and at least a size; NULL if it is another.
static const void* body_of(const LV2_Atom* atom, LV2_URID type, uint32_t least) {
  return atom->type == type && atom->size >= least ? atom + 1 : NULL;
}

static WayText text_of(const LV2_Atom* atom) {
  const char* const bytes = (const char*)(atom + 1);
  const char* const nul = memchr(bytes, 0, atom->size);
  return (WayText){bytes, nul ? (size_t)(nul - bytes) : atom->size};
}

static bool read_tick(const WayUrids* u, const LV2_Atom* value, WayNews* out) {
  const void* const body = body_of(value, u->atom_Long, sizeof(int64_t));
  if (!body) return false;
  memcpy(&out->tick, body, sizeof(out->tick));
  return out->tick > -TICK_MAX && out->tick < TICK_MAX;
}

static bool read_speed(const WayUrids* u, const LV2_Atom* value, WayNews* out) {
  const void* const body = body_of(value, u->atom_Double, sizeof(double));
  if (!body) return false;
  memcpy(&out->speed, body, sizeof(out->speed));
  return out->speed >= 0 && out->speed < SPEED_MAX;
}

static bool read_from(const WayUrids* u, const LV2_Atom* value, WayNews* out) {
  const void* const body = body_of(value, u->atom_Int, sizeof(int32_t));
  int32_t from;
  if (!body) return false;
  memcpy(&from, body, sizeof(from));
  out->from = (WayChordFrom)from;
  return from >= 0 && from < WAY_CHORD_FROM_COUNT;
}

static bool read_chord(const WayUrids* u, const LV2_Atom* value, WayNews* out) {
  return value->type == u->atom_String &&
         !way_chord_read(text_of(value), &out->chord, NULL);
}

static bool read_key(const WayUrids* u, const LV2_Atom* value, WayNews* out) {
  return value->type == u->atom_String &&
         !way_key_read(text_of(value), &out->key, NULL);
}

static bool read_tags(const WayUrids* u, const LV2_Atom* value, WayNews* out) {
  const void* const body = body_of(value, u->atom_Bool, sizeof(int32_t));
  int32_t refused;
  if (!body) return false;
  memcpy(&refused, body, sizeof(refused));
  out->tags_refused = refused != 0;
  return true;
}

static bool read_notes(const WayUrids* u, const LV2_Atom* value, WayNews* out) {
  LV2_Atom_Vector_Body head;
  const uint8_t* const body = body_of(value, u->atom_Vector, sizeof(head));
  if (!body) return false;
  memcpy(&head, body, sizeof(head));
  const size_t record = WAY_WIRE_INTS * sizeof(int32_t);
  const size_t size = value->size - sizeof(head);
  if (head.child_type != u->atom_Int || head.child_size != sizeof(int32_t) ||
      size % record || size / record > WAY_WIRE_RECORDS)
    return false;
  out->n = (unsigned)(size / record);
  for (unsigned i = 0; i < out->n; ++i) {
    int32_t ints[WAY_WIRE_INTS];
    memcpy(ints, body + sizeof(head) + i * record, record);
    if (!way_wire_unpack(ints, &out->records[i])) return false;
  }
  return true;
}

static bool read_place(const WayUrids* u, const LV2_Atom_Object* object, WayNews* out) {
  const struct {
    LV2_URID key;
    bool (*read)(const WayUrids*, const LV2_Atom*, WayNews*);
  } readers[] = {
      {u->tick, read_tick},   {u->speed, read_speed}, {u->chordFrom, read_from},
      {u->chord, read_chord}, {u->key, read_key},     {u->tagsRefused, read_tags},
      {u->notes, read_notes},
  };
  enum { TICK = 1u, CHORD = 8u, KEY = 16u };
  unsigned seen = 0;
  out->kind = WAY_NEWS_PLACE;
  WayObjectWalk walk = way_object_walk(object);
  const LV2_Atom_Property_Body* p;
  while ((p = way_object_next(&walk)))
    for (size_t i = 0; i < WAY_COUNT(readers); ++i)
      if (p->key == readers[i].key) {
        if (!readers[i].read(u, &p->value, out)) return false;
        seen |= 1u << i;
      }
  const bool heard = out->from == WAY_CHORD_FROM_NOTES;
  return (seen & TICK) && (!heard || ((seen & CHORD) && (seen & KEY)));
}

static bool read_set(const WayUrids* u, const LV2_Atom_Object* object, WayNews* out) {
  const LV2_Atom *property = NULL, *value = NULL;
  WayObjectWalk walk = way_object_walk(object);
  const LV2_Atom_Property_Body* p;
  while ((p = way_object_next(&walk))) {
    if (p->key == u->patch_property) property = &p->value;
    if (p->key == u->patch_value) value = &p->value;
  }
  if (!property || !value || property->type != u->atom_URID ||
      property->size < sizeof(LV2_URID) ||
      (value->type != u->atom_String && value->type != u->atom_Path))
    return false;
  const LV2_URID what = ((const LV2_Atom_URID*)(const void*)property)->body;
  out->text = text_of(value);
  const struct {
    LV2_URID property;
    WayNewsKind kind;
  } texts[] = {{u->chart_text, WAY_NEWS_CHART_TEXT},
               {u->chart_file, WAY_NEWS_CHART_FILE},
               {u->chart_message, WAY_NEWS_CHART_MESSAGE},
               {u->learned, WAY_NEWS_LEARNED},
               {u->look, WAY_NEWS_LOOK}};
  for (size_t i = 0; i < WAY_COUNT(texts); ++i) {
    if (what != texts[i].property) continue;
    out->kind = texts[i].kind;
    return true;
  }
  return false;
}

bool way_news_read(const WayUrids* u, const LV2_Atom* atom, uint32_t size,
                   WayNews* out) {
  *out = (WayNews){.text = {"", 0}};
  if (size < sizeof(LV2_Atom_Object) || atom->size > size - sizeof(LV2_Atom) ||
      atom->size < sizeof(LV2_Atom_Object_Body) ||
      (atom->type != u->atom_Object && atom->type != u->atom_Blank))
    return false;
  const LV2_Atom_Object* const object = (const LV2_Atom_Object*)(const void*)atom;
  if (object->body.otype == u->Screen) return read_place(u, object, out);
  if (object->body.otype == u->patch_Set) return read_set(u, object, out);
  return false;
}
