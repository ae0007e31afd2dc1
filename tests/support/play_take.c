// Takes a recorded take through the built plug-in, in a host with a rolling transport,
// and writes what comes out.
//
// usage: play_take CHART TAKE.mid FOLDER
//
// The take is in 4/4 at one tempo.  FOLDER receives tagged.mid and marks.mid.  What the
// plug-in does is compared with what `waymark run` does; the program fails if they
// differ.
#include "cli/load.h"
#include "host.h"
#include "take/run.h"

#include "chart/chart_unroll.h"
#include "take/smf_read.h"
#include "take/smf_write.h"
#include "take/tempo_map.h"

#include <lv2/midi/midi.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RATE 48000.0
#define BLOCK 1024u
#define VOCABULARY "urn:waymark:vocab#"
#define META_NAME 3u
#define META_MARKER 6u

/// Chord tones, scale tones and chromatic notes go to channels 1, 2 and 3.
#define TAG_CHANNEL 1
/// In beats: a note begun this little before a change belongs to the next chord.
#define EARLY 0.25

typedef struct {
  const WayTimeline* chart;
  const WaySmf* take;
  uint32_t melody; // track
  WayTempoMap* tempo;
  const WayChord *now, *next; // as the marks told them
  Host* host;
  WaySmf* tagged; // tracks: conductor, melody
  WaySmf* marks;  // tracks: conductor, marks
} Session;

static void check(bool good, const char* what) {
  if (good) return;
  fprintf(stderr, "play_take: %s\n", what);
  exit(1);
}

static int64_t frame_of(const Session* s, uint64_t tick) {
  return llround(way_tempo_map_seconds(s->tempo, tick) * RATE);
}

static uint64_t tick_of(const Session* s, int64_t frame) {
  const double quarter = way_tempo_map_at(s->tempo, 0) / 1e6;
  return (uint64_t)llround((double)frame / RATE / quarter * s->take->division);
}

// ---- Through the plug-in.

/// Queue the events of the melody that fall before `end`.
static void queue_notes(Session* s, uint32_t* next, int64_t end) {
  const WaySmfTrack* const track = &s->take->tracks[s->melody];
  for (; *next < track->n; ++*next) {
    const WaySmfEvent* const e = &track->events[*next];
    const int64_t frame = frame_of(s, e->tick);
    if (frame >= end) return;
    if (e->bytes[0] < 0xF0)
      host_add(host_events(s->host, "melody"), frame,
               host_urid(s->host, LV2_MIDI__MidiEvent), e->bytes, e->size);
  }
}

static void play(Session* s) {
  Host* const h = s->host;
  *host_control(h, "source") = (float)WAY_SOURCE_CHART;
  *host_control(h, "tag_channel") = TAG_CHANNEL;
  *host_control(h, "early") = (float)EARLY;
  for (uint32_t i = 0; i < h->n_ports; ++i) {
    host_clear(&h->events[i]);
    h->next[i] = 0;
  }
  h->now = 0;
  const double tempo = way_tempo_map_at(s->tempo, 0) / 1e6; // seconds a quarter note
  const int64_t end = frame_of(s, s->take->tracks[s->melody].end);
  for (uint32_t next = 0; h->now < end;) {
    const int64_t left = end - h->now;
    const uint32_t n = left < BLOCK ? (uint32_t)left : BLOCK;
    const HostPosition p =
        host_position_at((double)h->now / RATE / tempo, 60.0 / tempo);
    host_position(h, h->now, &p);
    queue_notes(s, &next, h->now + n);
    host_run(h, n);
  }
}

// ---- What came out.

static int number(Session* s, const HostEvent* e, const char* property) {
  char uri[64];
  snprintf(uri, sizeof(uri), VOCABULARY "%s", property);
  const double value = host_number(s->host, e, uri);
  return isnan(value) ? 0 : (int)value;
}

/// Whether a mark tells of this chord.
static bool is_chord(Session* s, const HostEvent* e, const WayChord* c) {
  return c->root.letter == number(s, e, "rootLetter") &&
         way_spelling_pc(c->root) == number(s, e, "root") &&
         way_chord_pcs(c) == number(s, e, "tones");
}

/// The chord a mark tells of: the one that sounds there, or the one about to.
static const WayChord* chord_of(Session* s, const HostEvent* e, const WayMark* mark) {
  if (mark->kind != WAY_MARK_ROLE && mark->kind != WAY_MARK_RESOLUTION) {
    const WayPlace place = way_timeline_at(s->chart, mark->tick);
    s->now = &way_timeline_harmony(s->chart, place.span)->chord;
    s->next = &way_timeline_harmony(s->chart, place.next)->chord;
    check(is_chord(s, e, mark->early ? s->next : s->now),
          "a mark tells of a strange chord");
  }
  return mark->early ? s->next : s->now;
}

static WayDegree degree_of(int number_above, int interval) {
  WayDegree d = {(int8_t)number_above, 0};
  int alter = (interval - way_degree_pc(d) + 12) % 12;
  if (alter > 6) alter -= 12;
  d.alter = (int8_t)alter;
  return d;
}

/// Read a mark from an object; false if the event is none.
static bool read_mark(Session* s, const HostEvent* e, WayMark* out) {
  static const char* const types[WAY_MARK_COUNT] = {
      [WAY_MARK_ROLE] = VOCABULARY "Role",
      [WAY_MARK_LANDING] = VOCABULARY "Landing",
      [WAY_MARK_CHANGE] = VOCABULARY "Change",
      [WAY_MARK_TOP] = VOCABULARY "Top",
      [WAY_MARK_RESOLUTION] = VOCABULARY "Resolution",
      [WAY_MARK_LEARNED] = VOCABULARY "Learned"};
  const LV2_URID type = host_object_type(s->host, e);
  unsigned kind = 0;
  while (kind < WAY_MARK_COUNT && type != host_urid(s->host, types[kind])) ++kind;
  if (kind == WAY_MARK_COUNT) return false;
  *out = (WayMark){.frame = e->frame,
                   .tick = number(s, e, "tick"),
                   .chorus = number(s, e, "chorus"),
                   .bar = (uint32_t)number(s, e, "bar"),
                   .kind = (uint8_t)kind,
                   .landing = (uint8_t)number(s, e, "landing"),
                   .pitch = (uint8_t)number(s, e, "pitch"),
                   .early = number(s, e, "early") != 0,
                   .held_over = number(s, e, "heldOver") != 0};
  const int interval = number(s, e, "interval");
  out->role.role = (uint8_t)number(s, e, "role");
  out->role.interval = (uint8_t)interval;
  if (way_mark_of_note(out))
    out->role.degree = degree_of(number(s, e, "degree"), interval);
  out->chord = chord_of(s, e, out);
  return true;
}

static void mark_text(const WayMark* mark, char* buffer, size_t room) {
  WayOut out = way_out(buffer, room);
  way_mark_write(mark, &out);
}

/// The conductor of the take, and an empty track with a name.
static WaySmf* new_file(const Session* s, const char* name) {
  WaySmf* const smf = way_smf_new(1, s->take->division);
  check(smf && way_smf_add_track(smf) && way_smf_add_track(smf), "out of memory");
  const WaySmfTrack* const conductor = &s->take->tracks[0];
  for (uint32_t i = 0; i < conductor->n; ++i) {
    const WaySmfEvent* const e = &conductor->events[i];
    check(!way_smf_add(smf, 0, e->tick, e->bytes, e->size), "out of memory");
  }
  check(!way_smf_add_text(smf, 1, 0, META_NAME, name), "out of memory");
  return smf;
}

static void collect(Session* s) {
  const LV2_URID midi = host_urid(s->host, LV2_MIDI__MidiEvent);
  const HostEvents* const out = host_events(s->host, "out");
  for (size_t i = 0; i < out->n; ++i) {
    const HostEvent* const e = &out->at[i];
    if (e->type == midi)
      check(!way_smf_add(s->tagged, 1, tick_of(s, e->frame), e->body, e->size),
            "the plug-in sent what is no MIDI message");
  }
  const HostEvents* const marks = host_events(s->host, "marks");
  for (size_t i = 0; i < marks->n; ++i) {
    const HostEvent* const e = &marks->at[i];
    WayMark mark;
    const uint64_t tick = tick_of(s, e->frame);
    if (tick >= s->take->tracks[s->melody].end) break; // the form going on
    if (e->type == midi) {
      check(!way_smf_add(s->marks, 1, tick, e->body, e->size), "out of memory");
    } else if (read_mark(s, e, &mark)) {
      char text[WAY_ERROR_MAX];
      mark_text(&mark, text, sizeof(text));
      check(!way_smf_add_text(s->marks, 1, tick, META_MARKER, text), "out of memory");
    }
  }
}

// ---- Beside the command line.

/// The next event of a track that is a channel message or a Marker.
static const WaySmfEvent* next_of(const WaySmfTrack* t, uint32_t* i, bool markers) {
  while (*i < t->n) {
    const WaySmfEvent* const e = &t->events[(*i)++];
    if (markers ? way_smf_meta(e) == META_MARKER : e->bytes[0] < 0xF0) return e;
  }
  return NULL;
}

/// How many events both tracks have; the program ends where they differ.
static unsigned compare(const WaySmfTrack* a, const WaySmfTrack* b, bool markers) {
  unsigned n = 0;
  for (uint32_t i = 0, j = 0;; ++n) {
    const WaySmfEvent* const x = next_of(a, &i, markers);
    const WaySmfEvent* const y = next_of(b, &j, markers);
    if (!x && !y) return n;
    const bool same = x && y && x->tick == y->tick && x->size == y->size &&
                      !memcmp(x->bytes, y->bytes, x->size);
    check(same, markers ? "a mark differs from waymark run"
                        : "an event differs from waymark run");
  }
}

static void compare_with_run(const Session* s, const WayMidiFile* midi) {
  WayRunChoice choice = {.melody = {.track = (int)s->melody}, .chords = {.track = -1}};
  choice.chart = s->chart;
  choice.settings = way_settings_default();
  choice.settings.source = WAY_SOURCE_CHART;
  choice.settings.tag_channel = TAG_CHANNEL;
  choice.settings.early = EARLY;
  WayRun* run = NULL;
  check(!way_run_new((const uint8_t*)midi->file.at, s->take, &choice, &run, NULL),
        "the take cannot be run");
  WaySmf* ran = NULL;
  check(!way_smf_read(run->bytes, run->size, &ran, NULL), "the run cannot be read");
  const unsigned events =
      compare(&s->tagged->tracks[1], &ran->tracks[s->melody], false);
  const unsigned marks =
      compare(&s->marks->tracks[1], &ran->tracks[ran->n_tracks - 1], true);
  printf("%u notes in, %u notes out; %u events and %u marks, the same as from "
         "waymark run\n",
         run->notes_in, run->notes_out, events, marks);
  way_smf_free(ran);
  way_run_free(run);
}

// ---- All of it.

static WayExit write_file(const WaySmf* smf, const char* folder, const char* name) {
  char path[1024];
  snprintf(path, sizeof(path), "%s/%s", folder, name);
  uint8_t* bytes = NULL;
  size_t size = 0;
  check(!way_smf_write(smf, &bytes, &size), "out of memory");
  const WayExit end = way_cli_write(path, bytes, size);
  free(bytes);
  return end;
}

int main(int argc, char** argv) {
  WayTimeline* chart = NULL;
  WayFile text;
  WayMidiFile midi;
  if (argc != 4) {
    fputs("usage: play_take CHART TAKE.mid FOLDER\n", stderr);
    return 2;
  }
  if (way_cli_timeline(argv[1], &chart) || way_cli_read(argv[1], &text) ||
      way_cli_midi(argv[2], &midi))
    return 1;
  Session s = {.chart = chart, .take = midi.smf};
  const WayTakeChoice any = {.track = -1};
  check(!way_take_track(s.take, &any, &s.melody, NULL), "no melody in the take");
  s.tempo = way_tempo_map_new(s.take);
  s.host = host_guide(&(HostOptions){.rate = RATE});
  check(s.tempo && s.host, "the plug-in cannot be loaded");
  s.tagged = new_file(&s, "Melody, by role");
  s.marks = new_file(&s, WAY_MARKS_TRACK);
  host_chart(s.host, text.at);
  play(&s);
  collect(&s);
  compare_with_run(&s, &midi);
  const WayExit end = write_file(s.tagged, argv[3], "tagged.mid")
                          ? WAY_EXIT_FAILED
                          : write_file(s.marks, argv[3], "marks.mid");
  way_smf_free(s.tagged);
  way_smf_free(s.marks);
  way_tempo_map_free(s.tempo);
  host_free(s.host);
  way_timeline_free(chart);
  way_cli_free_midi(&midi);
  free(text.at);
  return (int)end;
}
