// Plays a take through the guide with its window open, and keeps a picture of it.
//
// usage: play_window CHART TAKE.mid SECONDS PICTURE.png [WIDTHxHEIGHT [KEYS]]
//
// KEYS are typed before the take begins: `v` for the stage view.
#include "cli/load.h"
#include "take/take.h"
#include "take/tempo_map.h"
#include "window_host.h"

#include <lv2/midi/midi.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RATE 48000.0
#define BLOCK 1600u // a thirtieth of a second, as often as many hosts look

static void check(bool good, const char* what) {
  if (good) return;
  fprintf(stderr, "play_window: %s\n", what);
  exit(1);
}

/// Queue a melody; the transport then rolls from its top.
static void queue(Host* h, const WaySmf* take, uint32_t melody) {
  WayTempoMap* const tempo = way_tempo_map_new(take);
  check(tempo != NULL, "no memory");
  for (uint32_t i = 0; i < take->tracks[melody].n; ++i) {
    const WaySmfEvent* const e = &take->tracks[melody].events[i];
    const double at = way_tempo_map_seconds(tempo, e->tick);
    if (e->bytes[0] < 0xF0)
      host_insert(host_events(h, "melody"), h->now + (int64_t)(at * RATE),
                  host_urid(h, LV2_MIDI__MidiEvent), e->bytes, e->size);
  }
  const HostPosition p = host_position_at(0, 6e7 / way_tempo_map_at(tempo, 0));
  host_position(h, h->now, &p);
  way_tempo_map_free(tempo);
}

int main(int argc, char** argv) {
  check(argc >= 5, "expected CHART TAKE.mid SECONDS PICTURE.png [WIDTHxHEIGHT [KEYS]]");
  WayMidiFile take;
  WayFile chart;
  if (way_cli_midi(argv[2], &take) || way_cli_read(argv[1], &chart)) return 1;
  const WayTakeChoice any = {.track = -1};
  uint32_t melody = 0;
  check(!way_take_track(take.smf, &any, &melody, NULL), "no melody in the take");
  Host* const h = host_guide(NULL);
  check(h != NULL, "the guide does not start");
  host_chart(h, chart.at);
  WindowHost* const w = window_host_new(h, NULL);
  check(w->ui != NULL, "the window does not open");
  int width, height;
  if (argc > 5 && sscanf(argv[5], "%dx%d", &width, &height) == 2) {
    XResizeWindow(w->display, w->parent, (unsigned)width, (unsigned)height);
    window_host_settle(w);
  }
  window_host_settle(w);
  for (const char* key = argc > 6 ? argv[6] : ""; *key; ++key) {
    window_host_key(w, (KeySym)(unsigned char)*key, 0);
    window_host_settle(w);
  }
  queue(h, take.smf, melody);
  window_host_run(&w, 1, (int64_t)(atof(argv[3]) * RATE), BLOCK);
  for (int i = 0; i < 3; ++i) {
    window_host_wait(0.02);
    window_host_idle(w);
  }
  cairo_surface_t* const picture = window_host_picture(w);
  check(!cairo_surface_write_to_png(picture, argv[4]), "the picture cannot be written");
  cairo_surface_destroy(picture);
  window_host_free(w);
  host_free(h);
  way_cli_free_midi(&take);
  free(chart.at);
  return 0;
}
