#include "state.h"

#include <lv2/core/lv2_util.h>

#include <stdlib.h>
#include <string.h>

static const uint32_t portable = LV2_STATE_IS_POD | LV2_STATE_IS_PORTABLE;

static LV2_State_Status save_path(const WayUrids* u, const char* path,
                                  LV2_State_Store_Function store,
                                  LV2_State_Handle handle,
                                  const LV2_Feature* const* features) {
  const LV2_State_Map_Path* const map =
      (const LV2_State_Map_Path*)lv2_features_data(features, LV2_STATE__mapPath);
  const LV2_State_Free_Path* const release =
      (const LV2_State_Free_Path*)lv2_features_data(features, LV2_STATE__freePath);
  if (!*path || !map) return LV2_STATE_SUCCESS; // the text is enough
  char* const abstract = map->abstract_path(map->handle, path);
  if (!abstract) return LV2_STATE_SUCCESS;
  const LV2_State_Status status = store(handle, u->chart_file, abstract,
                                        strlen(abstract) + 1, u->atom_Path, portable);
  if (release)
    release->free_path(release->handle, abstract);
  else
    free(abstract);
  return status;
}

static LV2_State_Status save_look(const WayLook* look, const WayUrids* u,
                                  LV2_State_Store_Function store,
                                  LV2_State_Handle handle) {
  char text[WAY_LOOK_MAX];
  while (!way_look_get(look, text)) {
  } // setting it takes a few stores
  if (!*text) return LV2_STATE_SUCCESS;
  return store(handle, u->look, text, strlen(text) + 1, u->atom_String, portable);
}

/// The lock is held.
static LV2_State_Status save_learned(WayDesk* desk, const WayUrids* u,
                                     LV2_State_Store_Function store,
                                     LV2_State_Handle handle) {
  const WayChartInUse* const c = desk->learned.kept;
  if (!c || atomic_load(&desk->forgotten)) return LV2_STATE_SUCCESS;
  const int64_t from = c->origin;
  const LV2_State_Status status =
      store(handle, u->learned, c->text, c->size + 1, u->atom_String, portable);
  return status ? status
                : store(handle, u->learned_from, &from, sizeof(from), u->atom_Long,
                        portable);
}

LV2_State_Status way_state_save(WayDesk* desk, const WayLook* look, const WayUrids* u,
                                LV2_State_Store_Function store, LV2_State_Handle handle,
                                const LV2_Feature* const* features) {
  const int32_t version = WAY_STATE_VERSION;
  LV2_State_Status status =
      store(handle, u->state_version, &version, sizeof(version), u->atom_Int, portable);
  if (!status) status = save_look(look, u, store, handle);
  pthread_mutex_lock(&desk->lock);
  const WayChartInUse* const c = desk->chart.kept;
  if (!status) status = save_learned(desk, u, store, handle);
  if (!status && c && c->timeline) {
    status =
        store(handle, u->chart_text, c->text, c->size + 1, u->atom_String, portable);
    if (!status) status = save_path(u, c->path, store, handle, features);
  }
  pthread_mutex_unlock(&desk->lock);
  return status;
}

/// A stored property; NULL if there is none or it is not a terminated text of `type`.
static const char* text_of(const WayDesk* desk, LV2_State_Retrieve_Function retrieve,
                           LV2_State_Handle handle, LV2_URID key, LV2_URID type,
                           const char* name, LV2_State_Status* status) {
  size_t size = 0;
  uint32_t found = 0, flags = 0;
  const char* const text = (const char*)retrieve(handle, key, &size, &found, &flags);
  if (!text) return NULL;
  if (found == type && size && size <= WAY_CHART_BYTES_MAX && !text[size - 1] &&
      strlen(text) == size - 1)
    return text;
  lv2_log_error(desk->logger, "Waymark: the saved %s is not a text; left alone\n",
                name);
  *status = LV2_STATE_ERR_BAD_TYPE;
  return NULL;
}

static bool version_fits(WayDesk* desk, const WayUrids* u,
                         LV2_State_Retrieve_Function retrieve,
                         LV2_State_Handle handle) {
  size_t size = 0;
  uint32_t type = 0, flags = 0;
  const void* const stored = retrieve(handle, u->state_version, &size, &type, &flags);
  if (!stored) return true; // presets need not say
  int32_t version = 0;
  if (type == u->atom_Int && size == sizeof(version))
    memcpy(&version, stored, sizeof(version));
  if (version >= 1 && version <= WAY_STATE_VERSION) return true;
  lv2_log_error(desk->logger, "Waymark: state of version %d is not known here\n",
                (int)version);
  return false;
}

/// The path on this machine; to be freed with free() or the host's function.
static char* absolute(const char* path, const LV2_Feature* const* features) {
  const LV2_State_Map_Path* const map =
      (const LV2_State_Map_Path*)lv2_features_data(features, LV2_STATE__mapPath);
  return map ? map->absolute_path(map->handle, path) : NULL;
}

/// A look that is no text is no reason to leave the rest of a session.
static void restore_look(const WayDesk* desk, WayLook* look, const WayUrids* u,
                         LV2_State_Retrieve_Function retrieve,
                         LV2_State_Handle handle) {
  LV2_State_Status status = LV2_STATE_SUCCESS;
  const char* const text =
      text_of(desk, retrieve, handle, u->look, u->atom_String, "look", &status);
  if (!text || strlen(text) >= WAY_LOOK_MAX) return;
  while (!way_look_set(look, text, strlen(text))) {
  } // setting it takes a few stores
}

static LV2_State_Status refuse(const WayDesk* desk, const char* what,
                               const WayError* error) {
  char message[WAY_CHART_MESSAGE_MAX];
  way_desk_explain(error, message, sizeof(message));
  lv2_log_error(desk->logger, "Waymark: saved %s: %s\n", what, message);
  return LV2_STATE_ERR_UNKNOWN;
}

static LV2_State_Status restore_learned(WayDesk* desk, const WayUrids* u,
                                        LV2_State_Retrieve_Function retrieve,
                                        LV2_State_Handle handle) {
  LV2_State_Status status = LV2_STATE_SUCCESS;
  const char* const text =
      text_of(desk, retrieve, handle, u->learned, u->atom_String, "form", &status);
  if (!text) return status;
  size_t size = 0;
  uint32_t type = 0, flags = 0;
  const void* const from = retrieve(handle, u->learned_from, &size, &type, &flags);
  int64_t origin = from ? -1 : 0; // where no form begins
  if (from && type == u->atom_Long && size == sizeof(origin))
    memcpy(&origin, from, sizeof(origin));
  WayError error;
  return way_desk_recall(desk, way_text(text), origin, &error)
             ? refuse(desk, "form", &error)
             : LV2_STATE_SUCCESS;
}

static LV2_State_Status restore_chart(WayDesk* desk, const WayUrids* u,
                                      LV2_State_Retrieve_Function retrieve,
                                      LV2_State_Handle handle,
                                      const LV2_Feature* const* features) {
  LV2_State_Status status = LV2_STATE_SUCCESS;
  const char* const text =
      text_of(desk, retrieve, handle, u->chart_text, u->atom_String, "chart", &status);
  const char* const stored = text_of(desk, retrieve, handle, u->chart_file,
                                     u->atom_Path, "chart file", &status);
  if (status || (!text && !stored)) return status; // nothing said: nothing changed

  const LV2_State_Free_Path* const release =
      (const LV2_State_Free_Path*)lv2_features_data(features, LV2_STATE__freePath);
  char* const mapped = stored ? absolute(stored, features) : NULL;
  const char* const path = mapped ? mapped : stored ? stored : "";
  WayError error;
  if (text ? way_desk_read(desk, way_text(text), path, &error)
           : way_desk_read_file(desk, path, &error))
    status = refuse(desk, "chart", &error);
  if (mapped && release)
    release->free_path(release->handle, mapped);
  else
    free(mapped);
  return status;
}

LV2_State_Status way_state_restore(WayDesk* desk, WayLook* look, const WayUrids* u,
                                   LV2_State_Retrieve_Function retrieve,
                                   LV2_State_Handle handle,
                                   const LV2_Feature* const* features) {
  if (!version_fits(desk, u, retrieve, handle)) return LV2_STATE_ERR_UNKNOWN;
  restore_look(desk, look, u, retrieve, handle);
  const LV2_State_Status chart = restore_chart(desk, u, retrieve, handle, features);
  const LV2_State_Status learned = restore_learned(desk, u, retrieve, handle);
  return chart ? chart : learned;
}
