#include "cli/load.h"

#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "take/bars.h"
#include "take/smf_read.h"

#include <stdlib.h>
#include <string.h>

WayExit way_cli_chart(const char* path, WayChart** out) {
  WayFile file;
  const WayExit end = way_cli_read(path, &file);
  if (end) return end;
  if (file.size >= 4 && !memcmp(file.at, "MThd", 4)) {
    free(file.at);
    return way_cli_failed(path, "expected chart text, found a MIDI file; "
                                "'waymark chart --from' reads its chords");
  }
  WayError error = {.status = WAY_OK};
  const WayStatus st = way_chart_read(way_cli_text(&file), out, &error);
  free(file.at);
  return st ? way_cli_error(path, &error) : WAY_EXIT_OK;
}

WayExit way_cli_timeline(const char* path, WayTimeline** out) {
  WayChart* chart = NULL;
  const WayExit end = way_cli_chart(path, &chart);
  if (end) return end;
  const WayStatus st = way_chart_unroll(chart, out);
  way_chart_free(chart);
  return st ? way_cli_failed(path, "%s", way_strerror(st)) : WAY_EXIT_OK;
}

WayExit way_cli_midi(const char* path, WayMidiFile* out) {
  WayMidiFile midi = {.smf = NULL};
  const WayExit end = way_cli_read(path, &midi.file);
  if (end) return end;
  WayError error = {.status = WAY_OK};
  if (way_smf_read((const uint8_t*)midi.file.at, midi.file.size, &midi.smf, &error)) {
    free(midi.file.at);
    return way_cli_error(path, &error);
  }
  *out = midi;
  return WAY_EXIT_OK;
}

void way_cli_free_midi(WayMidiFile* midi) {
  way_smf_free(midi->smf);
  free(midi->file.at);
}

WayExit way_cli_start(const char* path, const WaySmf* smf, int bar, WayMetre metre,
                      WayTick* out) {
  WayTick start = 0;
  if (way_bars_start(smf, (uint32_t)bar, metre, &start))
    return way_cli_failed(path, "%s", way_strerror(WAY_ERR_NO_MEMORY));
  if (bar > 1 && start >= way_smf_music_end(smf))
    return way_cli_failed(path, "ends before bar %d", bar);
  *out = start;
  return WAY_EXIT_OK;
}

void way_cli_track(const WayArgs* args, unsigned option, WayTakeChoice* out) {
  const char* const text = args->value[option];
  if (!text) return;
  char* end;
  const long index = strtol(text, &end, 10);
  const bool is_index = *text && !*end && index >= 0 && index <= 0xFFFF;
  out->track = is_index ? (int)index : -1;
  out->name = is_index ? NULL : text;
}
