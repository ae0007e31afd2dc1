// Any bytes as a take played through the guide: what comes out is a MIDI file in which
// every note-on of the melody has its note-off.  The first bytes choose the settings.
#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "take/run.h"
#include "take/smf_read.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

/// Bytes that choose settings, before the file.
enum { CHOICES = 8 };

static const WayTimeline* chart(void) {
  static WayTimeline* timeline; // made once
  WayChart* read = NULL;
  if (!timeline) {
    if (way_chart_read(way_text("[A]\n| Cmaj7 Am7 | Dm7>3 G7b9 |\n| F#m7b5 | N.C. |\n"),
                       &read, NULL) ||
        way_chart_unroll(read, &timeline))
      abort();
    way_chart_free(read);
  }
  return timeline;
}

static WayRunChoice choose(const uint8_t* c) {
  WayRunChoice choice = {.melody = {.track = -1}, .chords = {.track = -1}};
  WaySettings* const s = &choice.settings;
  *s = way_settings_default();
  s->handling = (WayHandling)(c[0] % WAY_HANDLING_COUNT);
  s->material = (WayMaterial)(c[1] % WAY_MATERIAL_COUNT);
  s->snap = (WaySnap)(c[2] % WAY_SNAP_COUNT);
  s->held = (WayHeld)(c[3] % WAY_HELD_COUNT);
  s->source = (WaySource)(c[4] % WAY_SOURCE_COUNT);
  s->early = (c[5] % 9) / 2.0;
  s->tag_channel = c[6] % 15;
  s->start_bar = 1 + c[7] % 4;
  choice.chart = c[7] & 0x80 ? NULL : chart();
  if (c[6] & 0x80) choice.chords.track = (c[6] >> 4) & 3;
  return choice;
}

/// Every note-on has its note-off.
static bool is_silent_at_end(const WaySmfTrack* track) {
  static int sounding[16][128];
  int left = 0;
  memset(sounding, 0, sizeof(sounding));
  for (uint32_t i = 0; i < track->n; ++i) {
    const uint8_t* const b = track->events[i].bytes;
    if ((b[0] & 0xE0) != 0x80) continue;
    const bool on = b[0] >= 0x90 && b[2];
    int* const n = &sounding[b[0] & 15][b[1]];
    if (!on && !*n) continue; // an orphan passes
    *n += on ? 1 : -1;
    left += on ? 1 : -1;
  }
  return !left;
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  if (size < CHOICES) return 0;
  WaySmf* smf = NULL;
  WayRun* run = NULL;
  const WayRunChoice choice = choose(data);
  if (way_smf_read(data + CHOICES, size - CHOICES, &smf, NULL)) return 0;
  WayError error = {.status = WAY_OK};
  if (way_run_new(data + CHOICES, smf, &choice, &run, &error)) {
    if (run || !error.message[0]) abort();
  } else {
    WaySmf* out = NULL;
    uint32_t melody = 0;
    if (way_smf_read(run->bytes, run->size, &out, NULL) ||
        out->n_tracks != smf->n_tracks + 1 ||
        way_take_track(smf, &choice.melody, &melody, NULL) ||
        !is_silent_at_end(&out->tracks[melody]))
      abort();
    way_smf_free(out);
  }
  way_run_free(run);
  way_smf_free(smf);
  return 0;
}
