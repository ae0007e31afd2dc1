#include "messages.h"

#include "object.h"

#include <string.h>

void way_messages_init(WayMessages* m, const WayUrids* urids, WayDesk* desk,
                       WayLook* look, LV2_URID_Map* map) {
  m->urids = urids;
  m->desk = desk;
  m->look = look;
  m->look_turn = way_look_turn(look);
  m->screen_asked = false;
  lv2_atom_forge_init(&m->forge, map);
}

/// Append one patch:Set, whole or not at all.
static void put_set(WayMessages* m, WayEventWriter* w, int64_t frame, LV2_URID property,
                    LV2_URID type, const char* text, size_t size) {
  LV2_Atom_Forge* const f = &m->forge;
  const size_t room = (size_t)(w->end - w->at);
  if (size >= room) return;
  lv2_atom_forge_set_buffer(f, w->at, room);
  LV2_Atom_Forge_Frame object;
  const bool whole = lv2_atom_forge_frame_time(f, way_writer_frame(w, frame)) &&
                     lv2_atom_forge_object(f, &object, 0, m->urids->patch_Set) &&
                     lv2_atom_forge_key(f, m->urids->patch_subject) &&
                     lv2_atom_forge_urid(f, m->urids->guide) &&
                     lv2_atom_forge_key(f, m->urids->patch_property) &&
                     lv2_atom_forge_urid(f, property) &&
                     lv2_atom_forge_key(f, m->urids->patch_value) &&
                     lv2_atom_forge_typed_string(f, type, text, (uint32_t)size);
  if (whole) w->at += f->offset;
}

static void put_look(WayMessages* m, WayEventWriter* w, int64_t frame) {
  char text[WAY_LOOK_MAX];
  const unsigned turn = way_look_turn(m->look);
  if (!way_look_get(m->look, text)) return;
  m->look_turn = turn;
  if (*text)
    put_set(m, w, frame, m->urids->look, m->urids->atom_String, text, strlen(text));
}

/// A screen asks to be told; first of the look, where a session brought another.
static void ask_screen(WayMessages* m, WayEventWriter* w, int64_t frame) {
  m->screen_asked = true;
  if (way_look_turn(m->look) != m->look_turn) put_look(m, w, frame);
}

static void put_property(WayMessages* m, WayEventWriter* w, int64_t frame,
                         LV2_URID property) {
  const WayUrids* const u = m->urids;
  const WayChartInUse* const c = m->desk->chart.live;
  const WayChartInUse* const l =
      atomic_load(&m->desk->forgotten) ? NULL : m->desk->learned.live;
  if (property == u->chart_file)
    put_set(m, w, frame, property, u->atom_Path, c ? c->path : "",
            c ? strlen(c->path) : 0);
  else if (property == u->chart_text)
    put_set(m, w, frame, property, u->atom_String, c ? c->text : "", c ? c->size : 0);
  else if (property == u->learned)
    put_set(m, w, frame, property, u->atom_String, l ? l->text : "", l ? l->size : 0);
  else if (property == u->chart_message)
    put_set(m, w, frame, property, u->atom_String, m->desk->message,
            strlen(m->desk->message));
  else if (property == u->look)
    put_look(m, w, frame);
  else if (property == u->screen)
    ask_screen(m, w, frame);
}

void way_messages_tell(WayMessages* m, WayEventWriter* w, int64_t frame) {
  put_property(m, w, frame, m->urids->chart_file);
  put_property(m, w, frame, m->urids->chart_text);
  put_property(m, w, frame, m->urids->learned);
  put_property(m, w, frame, m->urids->chart_message);
}

static void set_look(WayMessages* m, const char* bytes, uint32_t size) {
  if (way_look_set(m->look, bytes, size)) m->look_turn = way_look_turn(m->look);
}

static void set_property(WayMessages* m, LV2_URID property, const LV2_Atom* value) {
  const WayUrids* const u = m->urids;
  const bool text = value->type == u->atom_String || value->type == u->atom_Path;
  if (!text) return;
  const char* const bytes = (const char*)(value + 1);
  const char* const nul = memchr(bytes, 0, value->size);
  const uint32_t size = nul ? (uint32_t)(nul - bytes) : value->size;
  if (property == u->chart_file && size)
    way_desk_ask(m->desk, WAY_JOB_FILE, bytes, size);
  else if (property == u->chart_text)
    way_desk_ask(m->desk, WAY_JOB_TEXT, bytes, size);
  else if (property == u->look)
    set_look(m, bytes, size);
}

static LV2_URID urid_of(const WayUrids* u, const LV2_Atom* atom) {
  return atom && atom->type == u->atom_URID && atom->size == sizeof(LV2_URID)
             ? ((const LV2_Atom_URID*)(const void*)atom)->body
             : 0;
}

/// The parts of a message; NULL where there is none.
typedef struct {
  const LV2_Atom *subject, *property, *value, *body;
} Parts;

static Parts parts_of(const WayUrids* u, const LV2_Atom_Object* object) {
  Parts parts = {NULL, NULL, NULL, NULL};
  WayObjectWalk walk = way_object_walk(object);
  const LV2_Atom_Property_Body* p;
  while ((p = way_object_next(&walk))) {
    if (p->key == u->patch_subject) parts.subject = &p->value;
    if (p->key == u->patch_property) parts.property = &p->value;
    if (p->key == u->patch_value) parts.value = &p->value;
    if (p->key == u->patch_body) parts.body = &p->value;
  }
  return parts;
}

static void take_put(WayMessages* m, const LV2_Atom* body) {
  if (!body || body->type != m->urids->atom_Object ||
      body->size < sizeof(LV2_Atom_Object_Body))
    return;
  WayObjectWalk walk = way_object_walk((const LV2_Atom_Object*)(const void*)body);
  const LV2_Atom_Property_Body* p;
  while ((p = way_object_next(&walk))) set_property(m, p->key, &p->value);
}

void way_messages_take(WayMessages* m, const LV2_Atom_Object* object, WayEventWriter* w,
                       int64_t frame) {
  const WayUrids* const u = m->urids;
  const LV2_URID type = object->body.otype;
  if (type != u->patch_Get && type != u->patch_Set && type != u->patch_Put) return;
  const Parts parts = parts_of(u, object);
  if (parts.subject && urid_of(u, parts.subject) != u->guide) return;
  if (type == u->patch_Put)
    take_put(m, parts.body);
  else if (type == u->patch_Set && parts.value)
    set_property(m, urid_of(u, parts.property), parts.value);
  else if (type == u->patch_Get && parts.property)
    put_property(m, w, frame, urid_of(u, parts.property));
  else if (type == u->patch_Get) {
    way_messages_tell(m, w, frame);
    put_look(m, w, frame);
  }
}
