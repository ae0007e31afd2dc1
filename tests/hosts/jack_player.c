// Plays lists of MIDI events through JACK and records what comes back, both by the
// frame of JACK's transport, so that times are exact; it is the timebase master, too.
//
// usage: jack_player [OPTION]...
//   -t FRAME:BPM          tempo from that frame on, in beats of the metre (more than
//   once,
//                         rising; the first at frame 0)
//   -m BEATS/UNIT         metre (4/4)
//   -l FRAMES             how long to roll
//   -w                    roll as fast as time goes
//   -n TIMES              play all that again from frame 0, so often (1)
//   -p PORT:FILE          play FILE into PORT: lines `FRAME HEX HEX HEX`
//   -r PORT:FILE          record PORT into FILE, likewise
//
// The server is the one named by JACK_DEFAULT_SERVER; it freewheels while the transport
// rolls.  Two clients, so that the order is player, plug-in, recorder in one cycle.
#include <jack/jack.h>
#include <jack/midiport.h>
#include <jack/transport.h>

#include <math.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <stdnoreturn.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define TICKS_PER_BEAT 1920.0
#define LISTS_MAX 4
#define TEMPOS_MAX 16
#define BYTES_MAX 16
#define RECORD_MAX 100000
#define PATIENCE 20000 // looks, 2 ms apart, before giving up on the server

typedef struct {
  long frame;
  size_t size;
  unsigned char bytes[BYTES_MAX];
} Event;

typedef struct {
  const char *port, *file;
  Event* events;
  size_t n, next;
  jack_port_t* own;
} List;

typedef struct {
  double frame, bpm;
} Tempo;

static struct {
  jack_client_t *player, *recorder;
  List played[LISTS_MAX], recorded[LISTS_MAX];
  int n_played, n_recorded;
  Tempo tempos[TEMPOS_MAX];
  int n_tempos;
  float beats, unit;
  bool in_time; ///< No freewheeling
  long length;
  int times;
  atomic_long now;
  atomic_bool rolling;
} all = {.beats = 4, .unit = 4, .times = 1};

static void wait_ms(long ms) {
  nanosleep(&(struct timespec){.tv_nsec = ms * 1000000}, NULL);
}

static noreturn void die(const char* what, const char* which) {
  fprintf(stderr, "jack_player: %s %s\n", what, which);
  exit(1);
}

// ---- Lists of events.

static void read_list(List* l) {
  FILE* const f = fopen(l->file, "r");
  char line[256];
  if (!f) die("cannot open", l->file);
  l->events = calloc(RECORD_MAX, sizeof(*l->events));
  if (!l->events) die("out of memory for", l->file);
  while (l->n < RECORD_MAX && fgets(line, sizeof(line), f)) {
    Event* const e = &l->events[l->n];
    char* at = line;
    e->frame = strtol(line, &at, 10);
    for (char* end = at; e->size < BYTES_MAX; at = end) {
      const unsigned long byte = strtoul(at, &end, 16);
      if (end == at) break;
      e->bytes[e->size++] = (unsigned char)byte;
    }
    if (e->size) ++l->n;
  }
  fclose(f);
}

static void write_list(const List* l) {
  FILE* const f = fopen(l->file, "w");
  if (!f) die("cannot write", l->file);
  for (size_t i = 0; i < l->n; ++i) {
    fprintf(f, "%ld", l->events[i].frame);
    for (size_t j = 0; j < l->events[i].size; ++j)
      fprintf(f, " %02x", l->events[i].bytes[j]);
    fputc('\n', f);
  }
  fclose(f);
}

// ---- On JACK's thread.

static void play_cycle(List* l, long start, jack_nframes_t n, bool rolling) {
  void* const buffer = jack_port_get_buffer(l->own, n);
  jack_midi_clear_buffer(buffer);
  if (!rolling) return;
  if (l->next && l->next <= l->n && l->events[l->next - 1].frame >= start + (long)n)
    l->next = 0; // located to the start
  for (; l->next < l->n && l->events[l->next].frame < start + (long)n; ++l->next) {
    const Event* const e = &l->events[l->next];
    if (e->frame >= start)
      jack_midi_event_write(buffer, (jack_nframes_t)(e->frame - start), e->bytes,
                            e->size);
  }
}

static int play(jack_nframes_t n, void* unused) {
  (void)unused;
  jack_position_t p;
  const bool rolling = jack_transport_query(all.player, &p) == JackTransportRolling;
  atomic_store(&all.now, (long)p.frame);
  atomic_store(&all.rolling, rolling);
  for (int i = 0; i < all.n_played; ++i)
    play_cycle(&all.played[i], (long)p.frame, n, rolling);
  return 0;
}

static int record(jack_nframes_t n, void* unused) {
  (void)unused;
  jack_position_t p;
  jack_transport_query(all.recorder, &p);
  for (int i = 0; i < all.n_recorded; ++i) {
    List* const l = &all.recorded[i];
    void* const buffer = jack_port_get_buffer(l->own, n);
    const jack_nframes_t count = jack_midi_get_event_count(buffer);
    for (jack_nframes_t k = 0; k < count && l->n < RECORD_MAX; ++k) {
      jack_midi_event_t e;
      if (jack_midi_event_get(&e, buffer, k) || e.size > BYTES_MAX) continue;
      Event* const to = &l->events[l->n++];
      to->frame = (long)p.frame + (long)e.time;
      to->size = e.size;
      memcpy(to->bytes, e.buffer, e.size);
    }
  }
  return 0;
}

static void tell_place(jack_transport_state_t state, jack_nframes_t n,
                       jack_position_t* p, int is_new, void* unused) {
  (void)state, (void)n, (void)is_new, (void)unused;
  double beat = 0;
  int i = 0;
  for (; i + 1 < all.n_tempos && all.tempos[i + 1].frame <= p->frame; ++i)
    beat += (all.tempos[i + 1].frame - all.tempos[i].frame) * all.tempos[i].bpm;
  beat += (p->frame - all.tempos[i].frame) * all.tempos[i].bpm;
  beat /= 60.0 * p->frame_rate;
  beat += 1e-9; // on the beat, not a breath before it
  const double bar = floor(beat / (double)all.beats);
  const double in_bar = beat - bar * (double)all.beats;
  p->valid = JackPositionBBT;
  p->beats_per_bar = all.beats;
  p->beat_type = all.unit;
  p->ticks_per_beat = TICKS_PER_BEAT;
  p->beats_per_minute = all.tempos[i].bpm;
  p->bar = (int32_t)bar + 1;
  p->beat = (int32_t)in_bar + 1;
  p->tick = (int32_t)((in_bar - floor(in_bar)) * TICKS_PER_BEAT);
  p->bar_start_tick = bar * (double)all.beats * TICKS_PER_BEAT;
}

// ---- Around it.

static void open_ports(void) {
  char name[16];
  for (int i = 0; i < all.n_played; ++i) {
    List* const l = &all.played[i];
    snprintf(name, sizeof(name), "out%d", i);
    read_list(l);
    l->own = jack_port_register(all.player, name, JACK_DEFAULT_MIDI_TYPE,
                                JackPortIsOutput, 0);
  }
  for (int i = 0; i < all.n_recorded; ++i) {
    List* const l = &all.recorded[i];
    snprintf(name, sizeof(name), "in%d", i);
    l->events = calloc(RECORD_MAX, sizeof(*l->events));
    if (!l->events) die("out of memory for", l->file);
    l->own = jack_port_register(all.recorder, name, JACK_DEFAULT_MIDI_TYPE,
                                JackPortIsInput, 0);
  }
}

static void connect_ports(void) {
  for (int i = 0; i < all.n_played; ++i)
    if (jack_connect(all.player, jack_port_name(all.played[i].own), all.played[i].port))
      die("cannot connect to", all.played[i].port);
  for (int i = 0; i < all.n_recorded; ++i)
    if (jack_connect(all.recorder, all.recorded[i].port,
                     jack_port_name(all.recorded[i].own)))
      die("cannot connect from", all.recorded[i].port);
}

static bool rolled_past(long frame) {
  return atomic_load(&all.rolling) && atomic_load(&all.now) >= frame;
}

static bool stands_at_zero(void) {
  return !atomic_load(&all.rolling) && atomic_load(&all.now) == 0;
}

static void wait_for_end(void) {
  for (int i = 0; !rolled_past(all.length); ++i) {
    if (i == PATIENCE) die("the transport", "does not reach the end");
    wait_ms(2);
  }
}

static void roll(void) {
  jack_transport_stop(all.player);
  jack_transport_locate(all.player, 0);
  for (int i = 0; !stands_at_zero(); ++i) {
    if (i == PATIENCE) die("the transport", "does not go to the start");
    wait_ms(2);
  }
  wait_ms(100); // some cycles of silence
  if (!all.in_time) jack_set_freewheel(all.player, 1);
  jack_transport_start(all.player);
  wait_for_end();
  jack_transport_stop(all.player);
  if (!all.in_time) jack_set_freewheel(all.player, 0);
  wait_ms(100);
}

static void add_list(List* lists, int* n, char* word) {
  char* const colon = strrchr(word, ':');
  if (!colon || *n == LISTS_MAX) die("cannot use", word);
  *colon = 0;
  lists[*n].port = word;
  lists[(*n)++].file = colon + 1;
}

static void add_tempo(const char* word) {
  Tempo t;
  if (all.n_tempos == TEMPOS_MAX || sscanf(word, "%lf:%lf", &t.frame, &t.bpm) != 2)
    die("cannot use", word);
  all.tempos[all.n_tempos++] = t;
}

int main(int argc, char** argv) {
  for (int o; (o = getopt(argc, argv, "t:m:l:n:p:r:w")) > 0;) switch (o) {
    case 't': add_tempo(optarg); break;
    case 'm': sscanf(optarg, "%f/%f", &all.beats, &all.unit); break;
    case 'l': all.length = atol(optarg); break;
    case 'w': all.in_time = true; break;
    case 'n': all.times = atoi(optarg); break;
    case 'p': add_list(all.played, &all.n_played, optarg); break;
    case 'r': add_list(all.recorded, &all.n_recorded, optarg); break;
    default: return 2;
    }
  if (!all.n_tempos) add_tempo("0:120");
  all.player = jack_client_open("player", JackNoStartServer, NULL);
  all.recorder = jack_client_open("recorder", JackNoStartServer, NULL);
  if (!all.player || !all.recorder) die("no JACK server", "");
  jack_set_process_callback(all.player, play, NULL);
  jack_set_process_callback(all.recorder, record, NULL);
  jack_set_timebase_callback(all.player, 0, tell_place, NULL);
  open_ports();
  jack_activate(all.recorder);
  jack_activate(all.player);
  connect_ports();
  for (int i = 0; i < all.times; ++i) roll();
  jack_deactivate(all.player);
  jack_deactivate(all.recorder);
  for (int i = 0; i < all.n_recorded; ++i) write_list(&all.recorded[i]);
  jack_client_close(all.player);
  jack_client_close(all.recorder);
  return 0;
}
