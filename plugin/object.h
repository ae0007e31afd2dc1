// The properties of an object atom, walked without trust in whoever made it.
#ifndef WAY_PLUGIN_OBJECT_H
#define WAY_PLUGIN_OBJECT_H

#include <lv2/atom/atom.h>

#include <stddef.h>
#include <stdint.h>

/// A place between two properties.
typedef struct {
  const uint8_t* at;
  const uint8_t* end;
} WayObjectWalk;

/// Start before the first property.
/// @param object At least an object's body in size, all of it readable.
static inline WayObjectWalk way_object_walk(const LV2_Atom_Object* object) {
  const WayObjectWalk walk = {(const uint8_t*)(object + 1),
                              (const uint8_t*)&object->body + object->atom.size};
  return walk;
}

/// The next property that lies wholly inside the object; NULL behind the last.
static inline const LV2_Atom_Property_Body* way_object_next(WayObjectWalk* walk) {
  const size_t left = (size_t)(walk->end - walk->at);
  const LV2_Atom_Property_Body* const p =
      (const LV2_Atom_Property_Body*)(const void*)walk->at;
  if (left < sizeof(*p) || p->value.size > left - sizeof(*p)) return NULL;
  const size_t size = sizeof(*p) + (((size_t)p->value.size + 7u) & ~(size_t)7u);
  walk->at = size < left ? walk->at + size : walk->end;
  return p;
}

#endif
