#include "host.h"

#include "rt_guard.h"

#include <lv2/atom/util.h>
#include <lv2/midi/midi.h>
#include <lv2/patch/patch.h>
#include <lv2/state/state.h>
#include <lv2/time/time.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define GUIDE "urn:waymark:guide"

static LV2_URID map_uri(LV2_URID_Map_Handle handle, const char* uri) {
  Host* const h = (Host*)handle;
  pthread_mutex_lock(&h->lock);
  unsigned i = 0;
  while (i < h->n_uris && strcmp(h->uris[i], uri) != 0) ++i;
  if (i == h->n_uris && i < HOST_URIDS_MAX) h->uris[h->n_uris++] = strdup(uri);
  pthread_mutex_unlock(&h->lock);
  return i + 1;
}

static const char* unmap_urid(LV2_URID_Unmap_Handle handle, LV2_URID urid) {
  const Host* const h = (const Host*)handle;
  return urid && urid <= h->n_uris ? h->uris[urid - 1] : NULL;
}

static int log_vprintf(LV2_Log_Handle handle, LV2_URID type, const char* format,
                       va_list args) {
  Host* const h = (Host*)handle;
  (void)type;
  pthread_mutex_lock(&h->lock);
  const size_t used = strlen(h->log);
  const int n = vsnprintf(h->log + used, sizeof(h->log) - used, format, args);
  pthread_mutex_unlock(&h->lock);
  return n;
}

static int log_printf(LV2_Log_Handle handle, LV2_URID type, const char* format, ...) {
  va_list args;
  va_start(args, format);
  const int n = log_vprintf(handle, type, format, args);
  va_end(args);
  return n;
}

static void append(HostJob** list, uint32_t size, const void* data) {
  HostJob* const job = malloc(sizeof(*job) + size);
  if (!job) abort();
  job->next = NULL;
  job->size = size;
  memcpy(job->bytes, data, size);
  while (*list) list = &(*list)->next;
  *list = job;
}

static HostJob* take(HostJob** list) {
  HostJob* const job = *list;
  if (job) *list = job->next;
  return job;
}

static const LV2_Worker_Interface* worker_of(const Host* h) {
  return lilv_instance_get_extension_data(h->instance, LV2_WORKER__interface);
}

static LV2_Worker_Status respond(LV2_Worker_Respond_Handle handle, uint32_t size,
                                 const void* data) {
  Host* const h = (Host*)handle;
  pthread_mutex_lock(&h->lock);
  append(&h->answers, size, data);
  pthread_mutex_unlock(&h->lock);
  return LV2_WORKER_SUCCESS;
}

static void work(Host* h, HostJob* job) {
  worker_of(h)->work(lilv_instance_get_handle(h->instance), respond, h, job->size,
                     job->bytes);
  free(job);
}

static LV2_Worker_Status schedule(LV2_Worker_Schedule_Handle handle, uint32_t size,
                                  const void* data) {
  Host* const h = (Host*)handle;
  if (h->options.guarded) rt_guard_disarm(); // what follows is the host's business
  if (h->options.deferred) {
    append(&h->jobs, size, data);
  } else if (h->options.threaded) {
    pthread_mutex_lock(&h->lock);
    append(&h->jobs, size, data);
    pthread_cond_broadcast(&h->wake);
    pthread_mutex_unlock(&h->lock);
  } else {
    worker_of(h)->work(lilv_instance_get_handle(h->instance), respond, h, size, data);
  }
  if (h->options.guarded) rt_guard_arm();
  return LV2_WORKER_SUCCESS;
}

static void* work_thread(void* arg) {
  Host* const h = (Host*)arg;
  pthread_mutex_lock(&h->lock);
  while (!h->ending) {
    HostJob* const job = take(&h->jobs);
    if (!job) {
      pthread_cond_wait(&h->wake, &h->lock);
      continue;
    }
    h->working = true;
    pthread_mutex_unlock(&h->lock);
    work(h, job);
    pthread_mutex_lock(&h->lock);
    h->working = false;
    pthread_cond_broadcast(&h->wake);
  }
  pthread_mutex_unlock(&h->lock);
  return NULL;
}

void host_settle(Host* h) {
  pthread_mutex_lock(&h->lock);
  while (h->options.threaded && (h->jobs || h->working))
    pthread_cond_wait(&h->wake, &h->lock);
  pthread_mutex_unlock(&h->lock);
}

static void make_features(Host* h) {
  h->map = (LV2_URID_Map){h, map_uri};
  h->unmap = (LV2_URID_Unmap){h, unmap_urid};
  h->logger = (LV2_Log_Log){h, log_printf, log_vprintf};
  h->schedule = (LV2_Worker_Schedule){h, schedule};
  h->map_feature = (LV2_Feature){LV2_URID__map, &h->map};
  h->unmap_feature = (LV2_Feature){LV2_URID__unmap, &h->unmap};
  h->log_feature = (LV2_Feature){LV2_LOG__log, &h->logger};
  h->worker_feature = (LV2_Feature){LV2_WORKER__schedule, &h->schedule};
  unsigned n = 0;
  h->features[n++] = &h->map_feature;
  if (!h->options.bare) {
    h->features[n++] = &h->unmap_feature;
    h->features[n++] = &h->log_feature;
    if (!h->options.no_worker) h->features[n++] = &h->worker_feature;
  }
  for (size_t i = 0; i < 2; ++i)
    if (h->options.more[i]) h->features[n++] = h->options.more[i];
}

static bool is(const Host* h, const LilvPort* port, const char* uri) {
  LilvNode* const node = lilv_new_uri(h->world, uri);
  const bool yes = lilv_port_is_a(h->plugin, port, node);
  lilv_node_free(node);
  return yes;
}

#define CANARY_SIZE 64u ///< Bytes behind an output that must stay as they are
#define CANARY 0xA5

static void connect_ports(Host* h) {
  h->n_ports = lilv_plugin_get_num_ports(h->plugin);
  float defaults[HOST_PORTS_MAX];
  if (h->n_ports > HOST_PORTS_MAX) abort();
  lilv_plugin_get_port_ranges_float(h->plugin, NULL, NULL, defaults);
  for (uint32_t i = 0; i < h->n_ports; ++i) {
    const LilvPort* const port = lilv_plugin_get_port_by_index(h->plugin, i);
    if (is(h, port, LV2_ATOM__AtomPort)) {
      h->buffers[i] = calloc(1, HOST_BUFFER_MAX + CANARY_SIZE);
      h->is_output[i] = is(h, port, LV2_CORE__OutputPort);
    } else {
      h->controls[i] = isnan(defaults[i]) ? 0 : defaults[i];
      lilv_instance_connect_port(h->instance, i, &h->controls[i]);
    }
  }
}

Host* host_new(const char* bundle, const char* uri, const HostOptions* options) {
  Host* const h = calloc(1, sizeof(*h));
  if (!h) return NULL;
  if (options) h->options = *options;
  if (h->options.rate == 0) h->options.rate = 48000;
  h->capacity = HOST_BUFFER_MAX;
  pthread_mutex_init(&h->lock, NULL);
  pthread_cond_init(&h->wake, NULL);
  make_features(h);
  h->world = lilv_world_new(); // no load_all(): an installed copy must not be found
  LilvNode* const folder = lilv_new_file_uri(h->world, NULL, bundle);
  LilvNode* const name = lilv_new_uri(h->world, uri);
  lilv_world_load_bundle(h->world, folder);
  h->plugin = lilv_plugins_get_by_uri(lilv_world_get_all_plugins(h->world), name);
  if (h->plugin)
    h->instance = lilv_plugin_instantiate(h->plugin, h->options.rate, h->features);
  lilv_node_free(name);
  lilv_node_free(folder);
  if (!h->instance) {
    host_free(h);
    return NULL;
  }
  lv2_atom_forge_init(&h->forge, &h->map);
  connect_ports(h);
  lilv_instance_activate(h->instance);
  if (h->options.threaded && pthread_create(&h->thread, NULL, work_thread, h)) abort();
  return h;
}

Host* host_guide(const HostOptions* options) {
  return host_new(TEST_BUNDLE_DIR "/", GUIDE, options);
}

static void free_jobs(HostJob** list) {
  HostJob* job;
  while ((job = take(list))) free(job);
}

void host_free(Host* h) {
  if (!h) return;
  if (h->instance && h->options.threaded) {
    pthread_mutex_lock(&h->lock);
    h->ending = true;
    pthread_cond_broadcast(&h->wake);
    pthread_mutex_unlock(&h->lock);
    pthread_join(h->thread, NULL);
  }
  if (h->instance) {
    lilv_instance_deactivate(h->instance);
    lilv_instance_free(h->instance);
  }
  lilv_world_free(h->world);
  free_jobs(&h->jobs);
  free_jobs(&h->answers);
  for (uint32_t i = 0; i < HOST_PORTS_MAX; ++i) {
    free(h->buffers[i]);
    host_clear(&h->events[i]);
    free(h->events[i].at);
  }
  for (unsigned i = 0; i < h->n_uris; ++i) free(h->uris[i]);
  pthread_cond_destroy(&h->wake);
  pthread_mutex_destroy(&h->lock);
  free(h);
}

LV2_URID host_urid(Host* h, const char* uri) { return map_uri(h, uri); }

uint32_t host_port(const Host* h, const char* symbol) {
  LilvNode* const node = lilv_new_string(h->world, symbol);
  const LilvPort* const port = lilv_plugin_get_port_by_symbol(h->plugin, node);
  lilv_node_free(node);
  if (!port) {
    fprintf(stderr, "no port %s\n", symbol);
    abort();
  }
  return lilv_port_get_index(h->plugin, port);
}

float* host_control(Host* h, const char* symbol) {
  return &h->controls[host_port(h, symbol)];
}

HostEvents* host_events(Host* h, const char* symbol) {
  return &h->events[host_port(h, symbol)];
}

void host_add(HostEvents* list, int64_t frame, LV2_URID type, const void* body,
              uint32_t size) {
  if (list->n == list->room) {
    list->room = list->room ? 2 * list->room : 64;
    list->at = realloc(list->at, list->room * sizeof(*list->at));
    if (!list->at) abort();
  }
  HostEvent* const e = &list->at[list->n++];
  *e = (HostEvent){frame, type, size, malloc(size + 8u)};
  if (!e->body) abort();
  memcpy(e->body, body, size);
}

void host_insert(HostEvents* list, int64_t frame, LV2_URID type, const void* body,
                 uint32_t size) {
  host_add(list, frame, type, body, size);
  const HostEvent e = list->at[list->n - 1];
  size_t i = list->n - 1;
  for (; i > 0 && list->at[i - 1].frame > frame; --i) list->at[i] = list->at[i - 1];
  list->at[i] = e;
}

void host_clear(HostEvents* list) {
  for (size_t i = 0; i < list->n; ++i) free(list->at[i].body);
  list->n = 0;
}

void host_midi(Host* h, const char* port, int64_t frame, uint8_t status, uint8_t a,
               uint8_t b) {
  const uint8_t bytes[3] = {status, a, b};
  const uint8_t kind = status & 0xF0u;
  const uint32_t size = status >= 0xF0u ? 1 : kind == 0xC0u || kind == 0xD0u ? 2 : 3;
  host_insert(host_events(h, port), frame, host_urid(h, LV2_MIDI__MidiEvent), bytes,
              size);
}

HostPosition host_position_at(double beat, double bpm) {
  const double bar = floor(beat / 4.0);
  return (HostPosition){1, NAN, bar, beat - 4.0 * bar, 4, 4, bpm, false};
}

/// Append what the forge has written as one event of the melody port.
static void add_forged(Host* h, int64_t frame, const uint8_t* buffer) {
  const LV2_Atom* const atom = (const LV2_Atom*)(const void*)buffer;
  host_insert(host_events(h, "melody"), frame, atom->type, atom + 1, atom->size);
}

static void forge_number(Host* h, const char* key, double value, const char* type) {
  if (isnan(value)) return;
  lv2_atom_forge_key(&h->forge, host_urid(h, key));
  if (!strcmp(type, LV2_ATOM__Long))
    lv2_atom_forge_long(&h->forge, (int64_t)value);
  else if (!strcmp(type, LV2_ATOM__Int))
    lv2_atom_forge_int(&h->forge, (int32_t)value);
  else
    lv2_atom_forge_float(&h->forge, (float)value);
}

void host_position(Host* h, int64_t frame, const HostPosition* p) {
  _Alignas(8) uint8_t buffer[512];
  LV2_Atom_Forge_Frame object;
  lv2_atom_forge_set_buffer(&h->forge, buffer, sizeof(buffer));
  lv2_atom_forge_object(&h->forge, &object, 0, host_urid(h, LV2_TIME__Position));
  forge_number(h, LV2_TIME__frame, p->frame, LV2_ATOM__Long);
  forge_number(h, LV2_TIME__speed, p->speed, LV2_ATOM__Float);
  forge_number(h, LV2_TIME__barBeat, p->bar_beat, LV2_ATOM__Float);
  forge_number(h, LV2_TIME__bar, p->bar, LV2_ATOM__Long);
  forge_number(h, LV2_TIME__beatUnit, p->beat_unit, LV2_ATOM__Int);
  forge_number(h, LV2_TIME__beatsPerBar, p->beats_per_bar, LV2_ATOM__Float);
  forge_number(h, LV2_TIME__beatsPerMinute, p->bpm, LV2_ATOM__Float);
  lv2_atom_forge_pop(&h->forge, &object);
  if (p->blank) ((LV2_Atom*)(void*)buffer)->type = host_urid(h, LV2_ATOM__Blank);
  add_forged(h, frame, buffer);
}

void host_set(Host* h, int64_t frame, const char* property, const char* type,
              const char* text) {
  const size_t room = strlen(text) + 256;
  uint8_t* const buffer = calloc(1, room);
  if (!buffer) abort();
  LV2_Atom_Forge_Frame object;
  lv2_atom_forge_set_buffer(&h->forge, buffer, room);
  lv2_atom_forge_object(&h->forge, &object, 0, host_urid(h, LV2_PATCH__Set));
  lv2_atom_forge_key(&h->forge, host_urid(h, LV2_PATCH__property));
  lv2_atom_forge_urid(&h->forge, host_urid(h, property));
  lv2_atom_forge_key(&h->forge, host_urid(h, LV2_PATCH__value));
  lv2_atom_forge_typed_string(&h->forge, host_urid(h, type), text,
                              (uint32_t)strlen(text));
  lv2_atom_forge_pop(&h->forge, &object);
  add_forged(h, frame, buffer);
  free(buffer);
}

void host_get(Host* h, int64_t frame, const char* property) {
  _Alignas(8) uint8_t buffer[256];
  LV2_Atom_Forge_Frame object;
  lv2_atom_forge_set_buffer(&h->forge, buffer, sizeof(buffer));
  lv2_atom_forge_object(&h->forge, &object, 0, host_urid(h, LV2_PATCH__Get));
  if (property) {
    lv2_atom_forge_key(&h->forge, host_urid(h, LV2_PATCH__property));
    lv2_atom_forge_urid(&h->forge, host_urid(h, property));
  }
  lv2_atom_forge_pop(&h->forge, &object);
  add_forged(h, frame, buffer);
}

/// The value of a key of an object event; NULL if it has none.
static const LV2_Atom* value_of(Host* h, const HostEvent* e, const char* key) {
  const LV2_Atom* value = NULL;
  if (e->type == host_urid(h, LV2_ATOM__Object))
    lv2_atom_object_body_get(e->size, (const LV2_Atom_Object_Body*)(void*)e->body,
                             host_urid(h, key), &value, 0);
  return value;
}

LV2_URID host_object_type(Host* h, const HostEvent* e) {
  return e->type == host_urid(h, LV2_ATOM__Object)
             ? ((const LV2_Atom_Object_Body*)(const void*)e->body)->otype
             : 0;
}

const char* host_told(Host* h, const char* property) {
  const HostEvents* const out = host_events(h, "out");
  const char* told = NULL;
  for (size_t i = 0; i < out->n; ++i) {
    const LV2_Atom* const key = value_of(h, &out->at[i], LV2_PATCH__property);
    const LV2_Atom* const value = value_of(h, &out->at[i], LV2_PATCH__value);
    if (key && value &&
        ((const LV2_Atom_URID*)(const void*)key)->body == host_urid(h, property))
      told = (const char*)(value + 1);
  }
  return told;
}

double host_number(Host* h, const HostEvent* event, const char* property) {
  const LV2_Atom* const value = value_of(h, event, property);
  if (!value) return NAN;
  if (value->type == host_urid(h, LV2_ATOM__Long))
    return (double)((const LV2_Atom_Long*)(const void*)value)->body;
  return (double)((const LV2_Atom_Int*)(const void*)value)->body;
}

/// Put the events of the block into the buffer of an input.
static void fill_input(Host* h, uint32_t port, uint32_t n_frames) {
  LV2_Atom_Sequence* const seq = h->buffers[port];
  const HostEvents* const list = &h->events[port];
  lv2_atom_sequence_clear(seq);
  seq->atom.type = h->forge.Sequence;
  seq->body.unit = seq->body.pad = 0;
  uint8_t* at = (uint8_t*)(seq + 1);
  for (; h->next[port] < list->n; ++h->next[port]) {
    const HostEvent* const e = &list->at[h->next[port]];
    const size_t size = sizeof(LV2_Atom_Event) + ((e->size + 7u) & ~7u);
    if (n_frames && e->frame >= h->now + n_frames + h->options.sloppy) break;
    if (at + size > (uint8_t*)seq + HOST_BUFFER_MAX) abort();
    LV2_Atom_Event* const event = (LV2_Atom_Event*)(void*)at;
    event->time.frames = e->frame - h->now;
    event->body.size = e->size;
    event->body.type = e->type;
    memcpy(event + 1, e->body, e->size);
    at += size;
  }
  seq->atom.size = (uint32_t)(at - (uint8_t*)&seq->body);
}

static void collect_output(Host* h, uint32_t port) {
  LV2_Atom_Sequence* const seq = h->buffers[port];
  if (seq->atom.type != h->forge.Sequence) return;
  LV2_ATOM_SEQUENCE_FOREACH(seq, e)
  host_add(&h->events[port], h->now + e->time.frames, e->body.type, e + 1,
           e->body.size);
}

void host_answer(Host* h) {
  HostJob* job;
  while (h->options.deferred && (job = take(&h->jobs))) work(h, job);
  for (;;) {
    pthread_mutex_lock(&h->lock);
    job = take(&h->answers);
    pthread_mutex_unlock(&h->lock);
    if (!job) return;
    worker_of(h)->work_response(lilv_instance_get_handle(h->instance), job->size,
                                job->bytes);
    free(job);
  }
}

static void run_guarded(Host* h, uint32_t n_frames) {
  rt_guard_clear();
  rt_guard_arm();
  lilv_instance_run(h->instance, n_frames);
  rt_guard_disarm();
  if (rt_guard_caught() && !h->caught)
    snprintf(h->first_caught, sizeof(h->first_caught), "%s", rt_guard_first());
  h->caught += rt_guard_caught();
}

static void empty_output(Host* h, uint32_t port) {
  LV2_Atom* const atom = h->buffers[port];
  memset((uint8_t*)atom + h->capacity, CANARY, CANARY_SIZE);
  if (h->capacity >= sizeof(LV2_Atom)) *atom = (LV2_Atom){h->capacity, h->forge.Chunk};
}

static void check_canary(const Host* h, uint32_t port) {
  const uint8_t* const behind = (const uint8_t*)h->buffers[port] + h->capacity;
  for (unsigned i = 0; i < CANARY_SIZE; ++i)
    if (behind[i] != CANARY) {
      fprintf(stderr, "written past the end of port %u\n", port);
      abort();
    }
}

void host_run(Host* h, uint32_t n_frames) {
  for (uint32_t i = 0; i < h->n_ports; ++i) {
    if (!h->buffers[i]) continue;
    if (h->is_output[i])
      empty_output(h, i);
    else
      fill_input(h, i, n_frames);
    if (!h->unconnected[i]) lilv_instance_connect_port(h->instance, i, h->buffers[i]);
  }
  if (h->options.run)
    h->options.run(h->instance, n_frames);
  else if (h->options.guarded)
    run_guarded(h, n_frames);
  else
    lilv_instance_run(h->instance, n_frames);
  for (uint32_t i = 0; i < h->n_ports; ++i) {
    if (!h->buffers[i] || !h->is_output[i] || h->unconnected[i]) continue;
    check_canary(h, i);
    collect_output(h, i);
  }
  host_answer(h);
  h->now += n_frames;
}

void host_run_blocks(Host* h, int64_t n_frames, uint32_t block) {
  const int64_t end = h->now + n_frames;
  while (h->now < end) {
    const int64_t left = end - h->now;
    host_run(h, left < block ? (uint32_t)left : block);
  }
}

void host_chart(Host* h, const char* text) {
  host_set(h, h->now, GUIDE "#chartText", LV2_ATOM__String, text);
  host_run(h, 1);
  host_settle(h);
  host_run(h, 1);
}

static void no_ports(const char* symbol, void* data, const void* value, uint32_t size,
                     uint32_t type) {
  (void)symbol, (void)data, (void)value, (void)size, (void)type;
}

static const void* no_value(const char* symbol, void* data, uint32_t* size,
                            uint32_t* type) {
  (void)symbol, (void)data;
  *size = *type = 0;
  return NULL;
}

LilvState* host_save(Host* h) {
  return lilv_state_new_from_instance(
      h->plugin, h->instance, &h->map, NULL, NULL, NULL, NULL, no_value, NULL,
      LV2_STATE_IS_POD | LV2_STATE_IS_PORTABLE, h->features);
}

void host_restore(Host* h, const LilvState* s) {
  lilv_state_restore(s, h->instance, no_ports, NULL, 0, h->features);
}

void host_carry(Host* from, Host* to) {
  LilvState* const saved = host_save(from);
  char* const text = lilv_state_to_string(from->world, &from->map, &from->unmap, saved,
                                          "urn:test:state", NULL);
  LilvState* const loaded = lilv_state_new_from_string(to->world, &to->map, text);
  host_restore(to, loaded);
  free(text);
  lilv_state_free(loaded);
  lilv_state_free(saved);
}
