// A small LV2 host in the test's own process, on top of lilv.
#ifndef WAY_TESTS_HOST_H
#define WAY_TESTS_HOST_H

#include <lilv/lilv.h>
#include <lv2/atom/atom.h>
#include <lv2/atom/forge.h>
#include <lv2/log/log.h>
#include <lv2/urid/urid.h>
#include <lv2/worker/worker.h>

#include <math.h>
#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define HOST_PORTS_MAX 64u
#define HOST_BUFFER_MAX (1u << 18)
#define HOST_URIDS_MAX 512u

/// What a host may leave out or do another way; zeroes give a full, plain host.
typedef struct {
  double rate;    ///< Frames per second; 0 for 48000
  bool bare;      ///< Offer urid:map and nothing else
  bool no_worker; ///< Offer no worker
  bool threaded;  ///< The worker has a thread; else it works inside run()
  bool deferred;  ///< The worker works after run(), in host_answer()
  bool sloppy;    ///< Events on the frame behind a block come with the block
  bool guarded;   ///< Arm the trap of rt_guard.h around run()
  void (*run)(LilvInstance*, uint32_t n_frames); ///< Runs a block; NULL: nothing more
  const LV2_Feature* more[2]; ///< Features beside its own; NULL for none
} HostOptions;

/// An event of a port, by frames since the host began.
typedef struct {
  int64_t frame;
  LV2_URID type;
  uint32_t size;
  uint8_t* body; ///< Owned by its list
} HostEvent;

/// Events in the order they were added.
typedef struct {
  size_t n, room;
  HostEvent* at;
} HostEvents;

/// One message between the worker and run().
typedef struct HostJob {
  struct HostJob* next;
  uint32_t size;
  uint8_t bytes[]; ///< Of that size
} HostJob;

/// A host with one instance of one plug-in.
typedef struct {
  HostOptions options;
  LilvWorld* world;
  const LilvPlugin* plugin;
  LilvInstance* instance;
  uint32_t n_ports;
  float controls[HOST_PORTS_MAX];    ///< By port index
  void* buffers[HOST_PORTS_MAX];     ///< Of event ports, by port index; else NULL
  bool is_output[HOST_PORTS_MAX];    ///< Of event ports
  bool unconnected[HOST_PORTS_MAX];  ///< Event ports that are left alone
  HostEvents events[HOST_PORTS_MAX]; ///< Inputs: to come; outputs: what came
  size_t next[HOST_PORTS_MAX];       ///< Inputs: first event not played yet
  uint32_t capacity; ///< Size of outputs, header included; a multiple of 8, at least 8
  int64_t now;       ///< Frames run so far
  char log[4096];    ///< What the plug-in logged
  unsigned caught;   ///< By the trap, in all runs
  char first_caught[64];
  LV2_Atom_Forge forge;
  char* uris[HOST_URIDS_MAX];
  unsigned n_uris;
  pthread_mutex_t lock; ///< Guards all below
  pthread_cond_t wake;
  HostJob *jobs, *answers;
  bool working, ending;
  pthread_t thread;
  LV2_URID_Map map;
  LV2_URID_Unmap unmap;
  LV2_Log_Log logger;
  LV2_Worker_Schedule schedule;
  LV2_Feature map_feature, unmap_feature, log_feature, worker_feature;
  const LV2_Feature* features[8];
} Host;

/// Load `bundle` (a folder) alone, and start its plug-in `uri`, activated, with every
/// control at its default.  NULL if any of it fails.
Host* host_new(const char* bundle, const char* uri, const HostOptions* options);
/// The guide of this build.
Host* host_guide(const HostOptions* options);
/// End it; NULL is fine.
void host_free(Host* h);
/// The number of a name.
LV2_URID host_urid(Host* h, const char* uri);
/// The index of a port by symbol; ends the program if there is none.
uint32_t host_port(const Host* h, const char* symbol);
/// The value of a control port by symbol.
float* host_control(Host* h, const char* symbol);
/// The events of a port by symbol.
HostEvents* host_events(Host* h, const char* symbol);

/// Append an event, whatever its frame.
void host_add(HostEvents* list, int64_t frame, LV2_URID type, const void* body,
              uint32_t size);
/// Insert an event behind those of its frame.
void host_insert(HostEvents* list, int64_t frame, LV2_URID type, const void* body,
                 uint32_t size);
/// Insert a MIDI message of one to three bytes.
void host_midi(Host* h, const char* port, int64_t frame, uint8_t status, uint8_t a,
               uint8_t b);
/// Forget all events of a list.
void host_clear(HostEvents* list);

/// A position; NAN for numbers that are left out.
typedef struct {
  double speed, frame, bar, bar_beat, beats_per_bar, beat_unit, bpm;
  bool blank; ///< As the deprecated atom:Blank
} HostPosition;

/// `bpm` quarter notes a minute in 4/4, rolling from `beat` quarter notes into the
/// song.
HostPosition host_position_at(double beat, double bpm);
/// Insert a position into the melody input.
void host_position(Host* h, int64_t frame, const HostPosition* position);
/// Insert a patch:Set of a text.  @param type atom:String or atom:Path.
void host_set(Host* h, int64_t frame, const char* property, const char* type,
              const char* text);
/// Insert a patch:Get; NULL asks for everything.
void host_get(Host* h, int64_t frame, const char* property);
/// The text of the newest patch:Set of a property on the out port, or NULL.
const char* host_told(Host* h, const char* property);
/// A property of an object event as a number; NAN if it has none.
double host_number(Host* h, const HostEvent* event, const char* property);
/// The type of an object event; 0 if it is none.
LV2_URID host_object_type(Host* h, const HostEvent* event);

/// Run one block with the events that fall into it.
void host_run(Host* h, uint32_t n_frames);
/// Run `n_frames` in blocks of `block`.
void host_run_blocks(Host* h, int64_t n_frames, uint32_t block);
/// Wait until the worker has nothing to do.
void host_settle(Host* h);
/// Hand over what the worker answered; host_run() does.
void host_answer(Host* h);
/// What the plug-in saves, without ports; for lilv_state_free().
LilvState* host_save(Host* h);
/// Restore in one host what another saves, by way of text, as if in another process.
void host_carry(Host* from, Host* to);
/// Let it restore a state; ports stay as they are.
void host_restore(Host* h, const LilvState* s);
/// Give a chart as text and run until it is in use.
void host_chart(Host* h, const char* text);

#endif
