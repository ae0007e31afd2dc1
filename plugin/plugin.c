// The guide as an LV2 plug-in: callbacks, and nothing that knows music.
#include "controls.h"
#include "inline_display.h"
#include "live/plain.h"
#include "mark_io.h"
#include "messages.h"
#include "midi_io.h"
#include "note_names.h"
#include "ports.h"
#include "readout.h"
#include "screen_io.h"
#include "state.h"
#include "transport.h"
#include "urids.h"

#include <lv2/core/lv2.h>
#include <lv2/core/lv2_util.h>
#include <lv2/log/logger.h>
#include <lv2/state/state.h>
#include <lv2/worker/worker.h>

#include <stdlib.h>

/// While nothing happens, controls are looked at and beats counted down only where a
/// block reaches a multiple of so many frames: a power of two, some 20 ms.
#define QUIET_STEP 1024

/// An instance.  run() touches nothing outside it but the ports and the chart in use.
typedef struct {
  const LV2_Atom_Sequence* melody; ///< Port; #silence without a connection
  const LV2_Atom_Sequence* chords; ///< Likewise
  LV2_Atom_Sequence* out_port;     ///< Port; `nowhere` without a connection
  LV2_Atom_Sequence* marks_port;   ///< Likewise
  LV2_Atom_Sequence nowhere;       ///< An output without room
  int64_t now;                     ///< Frames run so far: the clock of everything below
  int64_t quiet_until; ///< Nothing is due before this frame unless something comes in
  int64_t engine_due;  ///< As of the block before
  WayControls controls;
  WaySettings settings;
  WayMarkSettings mark_settings;
  bool silence_due; ///< Deactivated: end every note when there is an output again
  WayEventWriter out;
  WayEventWriter marks;
  WayLanes out_lanes;
  WayLanes mark_lanes;
  WayMarkWriter mark_writer;
  WaySink sink;
  WaySong song;
  WayTransport transport;
  WayReadout readout;
  WayUrids urids;
  WayMessages messages;
  WayLook look;
  WayScreenIo screen;
  WayInlineDisplay display;
  const WayMidnamHost* names;     ///< NULL where the host reads no names of notes
  _Atomic(uint8_t) names_channel; ///< Mark channel, for the host's other threads
  LV2_Log_Logger logger;
  WayDesk desk;
  WayEngine engine;
} Guide;

_Static_assert(sizeof(Guide) <= 256 * 1024, "an instance stays small");

/// What a port is, and which one of its kind.
typedef struct {
  enum { EVENTS, CONTROL, READOUT } kind;
  unsigned slot;
} PortKind;

static const PortKind port_kinds[WAY_PORT_COUNT] = {
#define EVENTS_KIND(name, symbol) {EVENTS, WAY_PORT_##name},
#define CONTROL_KIND(name, symbol) {CONTROL, WAY_CONTROL_##name},
#define READOUT_KIND(name, symbol) {READOUT, WAY_READOUT_##name},
    WAY_PORTS(EVENTS_KIND, CONTROL_KIND, READOUT_KIND)
#undef EVENTS_KIND
#undef CONTROL_KIND
#undef READOUT_KIND
};

/// An input without events.
static const LV2_Atom_Sequence silence;

static bool send_note(void* to, int64_t frame, WayNoteWord note) {
  Guide* const g = (Guide*)to;
  way_lanes_end(&g->out_lanes, &g->out, frame);
  return way_writer_note(&g->out, frame, note);
}

static bool send_midi(void* to, int64_t frame, const uint8_t* bytes, uint32_t size) {
  Guide* const g = (Guide*)to;
  way_lanes_end(&g->out_lanes, &g->out, frame);
  return way_writer_midi(&g->out, frame, bytes, size);
}

static void send_mark(void* to, const WayMark* mark) {
  Guide* const g = (Guide*)to;
  const uint8_t channel = g->mark_settings.mark_channel;
  way_readout_mark(&g->readout, mark);
  way_mark_send(&g->mark_writer, &g->mark_lanes, &g->marks, mark, channel);
  if (g->mark_settings.marks_as_text)
    way_mark_send_text(&g->mark_writer, &g->marks, mark);
  if (!g->mark_settings.marks_on_out) return;
  way_lanes_end(&g->out_lanes, &g->out, mark->frame);
  way_lanes_strike(&g->out_lanes, &g->out, mark, channel);
}

/// A plain note, while no lane sounds on the first output.
static inline bool send_plain(void* to, int64_t frame, WayNoteWord note) {
  WayEventWriter* const w = &((Guide*)to)->out;
  if ((size_t)(w->end - w->at) < WAY_SHORT_STEP) return false;
  w->at = way_put_note(w->at, way_writer_risen(w, frame), w->note, note);
  return true;
}

/// Mark the newest note where room is scarce: what fits is written.
static WAY_NOINLINE void mark_crowded(Guide* g, int64_t frame, WayMarkKind kind) {
  const WayEngine* const e = &g->engine;
  const WayMark mark = {.frame = frame,
                        .chord = &e->now->chord,
                        .kind = (uint8_t)kind,
                        .pitch = e->last_pitch,
                        .role = e->last_role};
  way_mark_send(&g->mark_writer, &g->mark_lanes, &g->marks, &mark,
                g->mark_settings.mark_channel);
}

/// Mark the newest note, while marks go out on their own port only.
WAY_INLINE void mark_plain(Guide* g, int64_t frame, WayMarkKind kind, unsigned lane) {
  const WayEngine* const e = &g->engine;
  if (!way_mark_send_plain(&g->mark_writer, &g->mark_lanes, &g->marks, frame, kind,
                           lane, e->last_pitch, &e->last_role,
                           g->mark_settings.mark_channel))
    mark_crowded(g, frame, kind);
}

/// The tick at a frame, for a screen.
static WayTick tick_of(const Guide* g, int64_t frame) {
  return way_clock_tick(way_engine_clock(&g->engine), frame);
}

// The same while a screen is told; without one nothing of this costs anything.

static bool show_note(void* to, int64_t frame, WayNoteWord note) {
  Guide* const g = (Guide*)to;
  if (!send_note(to, frame, note)) return false;
  way_screen_io_note(&g->screen, tick_of(g, frame), note);
  return true;
}

static void show_mark(void* to, const WayMark* mark) {
  Guide* const g = (Guide*)to;
  send_mark(to, mark);
  way_screen_io_mark(&g->screen, tick_of(g, mark->frame), mark);
}

/// Tell a screen from now on, or tell none.
static void use_screen(Guide* g, bool open) {
  g->sink.note = open ? show_note : send_note;
  g->sink.mark = open ? show_mark : send_mark;
}

static void cleanup(LV2_Handle instance) {
  Guide* const g = (Guide*)instance;
  way_desk_clear(&g->desk);
  way_inline_display_clear(&g->display);
  free(g);
}

static LV2_Handle instantiate(const LV2_Descriptor* descriptor, double rate,
                              const char* bundle_path,
                              const LV2_Feature* const* features) {
  (void)descriptor;
  (void)bundle_path;
  LV2_URID_Map* const map = (LV2_URID_Map*)lv2_features_data(features, LV2_URID__map);
  if (!map || !(rate > 0)) return NULL;
  Guide* const g = (Guide*)calloc(1, sizeof(*g));
  if (!g) return NULL;
  lv2_log_logger_init(&g->logger, map,
                      (LV2_Log_Log*)lv2_features_data(features, LV2_LOG__log));
  LV2_Worker_Schedule* const worker =
      (LV2_Worker_Schedule*)lv2_features_data(features, LV2_WORKER__schedule);
  if (!way_desk_init(&g->desk, worker, &g->logger)) {
    free(g);
    return NULL;
  }
  way_urids_init(&g->urids, map);
  way_messages_init(&g->messages, &g->urids, &g->desk, &g->look, map);
  way_mark_writer_init(&g->mark_writer, &g->urids);
  way_lanes_init(&g->out_lanes, rate);
  way_lanes_init(&g->mark_lanes, rate);
  way_controls_init(&g->controls);
  way_readout_init(&g->readout);
  way_screen_io_init(&g->screen, rate, map);
  way_inline_display_init(&g->display, (const WayInlineHost*)lv2_features_data(
                                           features, WAY_INLINE_DISPLAY__queue_draw));
  g->names = (const WayMidnamHost*)lv2_features_data(features, WAY_MIDNAM__update);
  atomic_init(&g->names_channel, 15);
  way_transport_init(&g->transport, rate);
  way_engine_init(&g->engine, rate);
  g->settings = way_settings_default();
  g->song.start_bar = g->settings.start_bar;
  g->out.note = g->marks.note = (LV2_Atom){3, g->urids.midi_MidiEvent};
  g->sink = (WaySink){g, send_note, send_midi, send_mark};
  g->melody = g->chords = &silence;
  g->out_port = g->marks_port = &g->nowhere;
  g->quiet_until = INT64_MIN;
  return g;
}

static void connect_port(LV2_Handle instance, uint32_t port, void* data) {
  Guide* const g = (Guide*)instance;
  if (port >= WAY_PORT_COUNT) return;
  const PortKind k = port_kinds[port];
  if (k.kind == CONTROL) {
    way_controls_connect(&g->controls, k.slot, (const float*)data);
  } else if (k.kind == READOUT) {
    way_readout_connect(&g->readout, k.slot, (float*)data);
    g->quiet_until = INT64_MIN;
  } else {
    LV2_Atom_Sequence* const seq = (LV2_Atom_Sequence*)data;
    switch (k.slot) {
    case WAY_PORT_MELODY: g->melody = seq ? seq : &silence; break;
    case WAY_PORT_CHORDS: g->chords = seq ? seq : &silence; break;
    case WAY_PORT_OUT: g->out_port = seq ? seq : &g->nowhere; break;
    case WAY_PORT_MARKS: g->marks_port = seq ? seq : &g->nowhere; break;
    default: break;
    }
  }
}

/// The song lies elsewhere under the transport: another chart, another start.
static void refit(Guide* g) {
  way_transport_refit(&g->transport, g->now, &g->song);
  way_engine_transport(&g->engine, &g->transport.clock, &g->sink);
}

/// The names of the lanes belong to another channel.
static void rename_notes(Guide* g) {
  const uint8_t channel = g->mark_settings.mark_channel;
  if (atomic_load_explicit(&g->names_channel, memory_order_relaxed) == channel) return;
  atomic_store_explicit(&g->names_channel, channel, memory_order_relaxed);
  if (g->names) g->names->update(g->names->handle);
}

static void take_controls(Guide* g) {
  way_controls_read(&g->controls, &g->settings, &g->mark_settings);
  rename_notes(g);
  way_engine_set(&g->engine, &g->settings, g->now, &g->sink);
  if (!g->settings.learn) way_desk_forget(&g->desk);
  if (g->song.start_bar != g->settings.start_bar) {
    g->song.start_bar = g->settings.start_bar;
    refit(g);
  }
  way_readout_touch(&g->readout);
}

static void take_chart(Guide* g) {
  g->song.timeline = g->desk.chart.live->timeline;
  way_engine_chart(&g->engine, g->song.timeline, g->now, &g->sink);
  refit(g);
  way_readout_touch(&g->readout);
}

/// A form that was learned has its chart, or is recalled.
static void take_learned(Guide* g) {
  const WayChartInUse* const c = g->desk.learned.live;
  if (c->form) {
    way_engine_recall(&g->engine, c->form, c->timeline, g->now, &g->sink);
    way_desk_want_form(&g->desk, way_engine_learn(&g->engine)->number);
  } else {
    way_engine_learned(&g->engine, c->number, c->timeline, g->now, &g->sink);
  }
  way_readout_touch(&g->readout);
}

/// Ask for the chart of a form that was just learned.
static void ask_form(Guide* g) {
  const WayLearn* const l = way_engine_learn(&g->engine);
  if (l->known) way_desk_ask_form(&g->desk, &l->form, l->number);
}

static void take_object(Guide* g, const LV2_Atom_Event* event, int64_t frame) {
  const LV2_Atom_Object* const object =
      (const LV2_Atom_Object*)(const void*)&event->body;
  if (object->atom.size < sizeof(LV2_Atom_Object_Body)) return;
  if (object->body.otype != g->urids.time_Position) {
    way_engine_advance(&g->engine, frame, &g->sink); // what came before goes out first
    way_lanes_end(&g->out_lanes, &g->out, frame);
    way_messages_take(&g->messages, object, &g->out, frame);
    if (g->messages.screen_asked) {
      g->messages.screen_asked = false;
      way_screen_io_ask(&g->screen, frame);
      use_screen(g, true);
    }
  } else {
    const bool moved =
        way_transport_position(&g->transport, &g->urids, object, frame, &g->song);
    way_engine_metre(&g->engine, way_transport_metre(&g->transport), frame, &g->sink);
    if (!moved) return;
    way_engine_transport(&g->engine, &g->transport.clock, &g->sink);
    way_readout_touch(&g->readout);
  }
}

static void take_midi(Guide* g, WayInput input, const LV2_Atom* atom, int64_t frame) {
  if (input == WAY_INPUT_CHORDS || way_intake_has_chords(&g->settings))
    way_readout_touch(&g->readout);
  if (atom->size)
    way_engine_midi(&g->engine, input, g->now + frame, (const uint8_t*)(atom + 1),
                    atom->size, &g->sink);
}

/// Take a plain note and mark it.  @return Whether it was one.
WAY_INLINE bool take_plain(Guide* g, int64_t frame, WayNoteWord message) {
  const WaySink sink = {g, send_plain, NULL, NULL};
  const WayPlain plain = way_engine_plain(&g->engine, &sink, frame, message);
  if (plain == WAY_PLAIN_NOT) return false;
  if (plain == WAY_PLAIN_SENT) return true;
  way_readout_role(&g->readout, &g->engine.last_role);
  mark_plain(g, frame, WAY_MARK_ROLE, g->engine.last_role.role);
  if (plain == WAY_PLAIN_RESOLVES)
    mark_plain(g, frame, WAY_MARK_RESOLUTION, WAY_LANE_RESOLUTION);
  return true;
}

/// A melody of messages of three bytes while nothing else comes in, as it mostly is.
static void take_melody(Guide* g, uint32_t n_frames) {
  // Marks on the first output, as text or for a screen go the long way.
  const bool plain = !g->mark_settings.marks_on_out &&
                     !g->mark_settings.marks_as_text &&
                     g->out_lanes.next == INT64_MAX && !way_screen_io_open(&g->screen);
  const uint8_t* at = (const uint8_t*)(&g->melody->body + 1);
  const uint8_t* const end = (const uint8_t*)&g->melody->body + g->melody->atom.size;
  const int64_t last = n_frames ? (int64_t)n_frames - 1 : 0;
  for (int64_t frame = 0; at < end; at += WAY_SHORT_STEP) {
    const LV2_Atom_Event* const event = (const LV2_Atom_Event*)(const void*)at;
    frame = way_event_frame(event, frame, last);
    if (!plain || !take_plain(g, g->now + frame, way_event_note(event)))
      take_midi(g, WAY_INPUT_MELODY, &event->body, frame);
  }
}

/// Everything that came in, by time; at one time first what is not MIDI, then chords.
static void take_mixed(Guide* g, uint32_t n_frames) {
  const WayUrids* const u = &g->urids;
  WayEventReader objects, chords, melody;
  way_reader_init(&objects, u, g->melody, n_frames, u->atom_Object, u->atom_Blank);
  way_reader_init(&chords, u, g->chords, n_frames, u->midi_MidiEvent,
                  u->midi_MidiEvent);
  way_reader_init(&melody, u, g->melody, n_frames, u->midi_MidiEvent,
                  u->midi_MidiEvent);
  for (;;) {
    if (objects.frame <= chords.frame && objects.frame <= melody.frame) {
      if (objects.frame == WAY_NO_EVENT) return;
      take_object(g, objects.event, g->now + objects.frame);
      way_reader_next(&objects);
    } else if (chords.frame <= melody.frame) {
      take_midi(g, WAY_INPUT_CHORDS, &chords.event->body, chords.frame);
      way_reader_next(&chords);
    } else {
      take_midi(g, WAY_INPUT_MELODY, &melody.event->body, melody.frame);
      way_reader_next(&melody);
    }
  }
}

static void take_events(Guide* g, uint32_t n_frames) {
  if (way_reader_nothing(g->chords) && way_reader_only_short(&g->urids, g->melody))
    take_melody(g, n_frames);
  else
    take_mixed(g, n_frames);
}

/// Whether a block to `end` brings nothing and nothing is due in it.
static bool is_quiet(const Guide* g, int64_t end) {
  return end <= g->quiet_until && way_reader_nothing(g->melody) &&
         way_reader_nothing(g->chords) && !way_desk_has_fresh(&g->desk);
}

/// What came in from outside the ports since the block before.
static void take_news(Guide* g) {
  if (g->silence_due) {
    way_engine_silence(&g->engine, g->now, &g->sink);
    way_lanes_cut(&g->out_lanes, g->now);
    way_lanes_cut(&g->mark_lanes, g->now);
    way_readout_forget(&g->readout);
    g->silence_due = false;
  }
  way_engine_flush(&g->engine, g->now, &g->sink);
  if (way_controls_changed(&g->controls)) take_controls(g);
  if (way_desk_waits(&g->desk)) {
    if (way_desk_take(&g->desk, &g->desk.chart)) take_chart(g);
    if (way_desk_take(&g->desk, &g->desk.learned)) take_learned(g);
  }
  if (g->desk.news) {
    way_messages_tell(&g->messages, &g->out, g->now);
    g->desk.news = false;
  }
}

static int64_t least(int64_t a, int64_t b) { return a < b ? a : b; }

/// Show what changed, and find out how long that holds.
static void settle(Guide* g, int64_t end) {
  const int64_t due = way_engine_due(&g->engine);
  if (due != g->engine_due)
    way_readout_touch(&g->readout); // a chord may be heard no more
  g->engine_due = due;
  if (way_inline_display_wanted(&g->display) &&
      way_readout_waits(&g->readout, end - 1)) {
    const WayGuideView view = way_engine_view(&g->engine, end - 1);
    way_inline_display_show(&g->display, &view);
  }
  way_readout_update(&g->readout, &g->engine, way_engine_timeline(&g->engine),
                     way_engine_clock(&g->engine), end - 1);
  way_readout_tags(&g->readout, way_engine_tags_refused(&g->engine));
  g->quiet_until =
      least(least(due, g->readout.stale), least(g->out_lanes.next, g->mark_lanes.next));
  if (way_desk_waits(&g->desk)) g->quiet_until = INT64_MIN;
}

/// Tell the screen that asked.
static WAY_NOINLINE void tell_screen(Guide* g, int64_t end) {
  const int64_t due = way_screen_io_tell(&g->screen, &g->urids, &g->engine,
                                         way_engine_timeline(&g->engine),
                                         way_engine_clock(&g->engine), &g->out, end);
  g->quiet_until = least(g->quiet_until, due);
  if (!way_screen_io_open(&g->screen)) use_screen(g, false);
}

/// A block in which something happens.
static WAY_NOINLINE void run_busy(Guide* g, uint32_t n_frames, int64_t end) {
  way_writer_begin(&g->out, &g->urids, g->out_port, g->now, n_frames);
  way_writer_begin(&g->marks, &g->urids, g->marks_port, g->now, n_frames);
  take_news(g);
  take_events(g, n_frames);
  way_engine_advance(&g->engine, end, &g->sink);
  ask_form(g);
  way_lanes_end(&g->out_lanes, &g->out, end - 1);
  way_lanes_end(&g->mark_lanes, &g->marks, end - 1);
  settle(g, end);
  if (way_screen_io_open(&g->screen)) tell_screen(g, end);
  way_writer_end(&g->out);
  way_writer_end(&g->marks);
  g->now = end;
}

/// A quiet block in which controls and beats are looked at.
static WAY_NOINLINE void run_quiet_step(Guide* g, uint32_t n_frames, int64_t end) {
  if (way_controls_changed(&g->controls)) {
    run_busy(g, n_frames, end);
    return;
  }
  way_writer_empty(g->out_port, g->urids.atom_Sequence);
  way_writer_empty(g->marks_port, g->urids.atom_Sequence);
  way_readout_count(&g->readout, end - 1);
  g->now = end;
}

static void run(LV2_Handle instance, uint32_t n_frames) {
  Guide* const g = (Guide*)instance;
  const int64_t end = g->now + n_frames;
  if (!is_quiet(g, end)) {
    run_busy(g, n_frames, end);
  } else if ((g->now ^ end) >= QUIET_STEP) {
    run_quiet_step(g, n_frames, end);
  } else {
    way_writer_empty(g->out_port, g->urids.atom_Sequence);
    way_writer_empty(g->marks_port, g->urids.atom_Sequence);
    g->now = end;
  }
}

static void deactivate(LV2_Handle instance) {
  Guide* const g = (Guide*)instance;
  g->silence_due = true;
  g->quiet_until = INT64_MIN;
}

static LV2_State_Status save(LV2_Handle instance, LV2_State_Store_Function store,
                             LV2_State_Handle handle, uint32_t flags,
                             const LV2_Feature* const* features) {
  Guide* const g = (Guide*)instance;
  (void)flags;
  return way_state_save(&g->desk, &g->look, &g->urids, store, handle, features);
}

static LV2_State_Status restore(LV2_Handle instance,
                                LV2_State_Retrieve_Function retrieve,
                                LV2_State_Handle handle, uint32_t flags,
                                const LV2_Feature* const* features) {
  Guide* const g = (Guide*)instance;
  (void)flags;
  return way_state_restore(&g->desk, &g->look, &g->urids, retrieve, handle, features);
}

static LV2_Worker_Status work(LV2_Handle instance, LV2_Worker_Respond_Function respond,
                              LV2_Worker_Respond_Handle handle, uint32_t size,
                              const void* data) {
  Guide* const g = (Guide*)instance;
  return way_desk_work(&g->desk, respond, handle, size, data);
}

static LV2_Worker_Status work_response(LV2_Handle instance, uint32_t size,
                                       const void* data) {
  Guide* const g = (Guide*)instance;
  g->quiet_until = INT64_MIN; // to tell of it
  return way_desk_response(&g->desk, size, data);
}

static WayInlineSurface* render(LV2_Handle instance, uint32_t width,
                                uint32_t max_height) {
  Guide* const g = (Guide*)instance;
  return way_inline_display_render(&g->display, width, max_height);
}

static char* note_names(LV2_Handle instance) {
  Guide* const g = (Guide*)instance;
  return way_note_names_new(
      atomic_load_explicit(&g->names_channel, memory_order_relaxed));
}

static char* note_names_model(LV2_Handle instance) {
  (void)instance;
  return way_note_names_model();
}

static void free_text(char* text) { free(text); }

static const void* extension_data(const char* uri) {
  static const LV2_State_Interface state = {save, restore};
  static const LV2_Worker_Interface worker = {work, work_response, NULL};
  static const WayInlineInterface display = {render};
  static const WayMidnamInterface names = {note_names, note_names_model, free_text};
  if (!strcmp(uri, WAY_INLINE_DISPLAY__interface)) return &display;
  if (!strcmp(uri, WAY_MIDNAM__interface)) return &names;
  if (!strcmp(uri, LV2_STATE__interface)) return &state;
  if (!strcmp(uri, LV2_WORKER__interface)) return &worker;
  return NULL;
}

static const LV2_Descriptor descriptor = {
    WAY_GUIDE_URI, instantiate, connect_port, NULL,
    run,           deactivate,  cleanup,      extension_data,
};

LV2_SYMBOL_EXPORT const LV2_Descriptor* lv2_descriptor(uint32_t index) {
  return index ? NULL : &descriptor;
}
