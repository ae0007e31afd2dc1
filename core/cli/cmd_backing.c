// `waymark backing`: a loop to play over, made from a chart.
#include "chart/chart_unroll.h"
#include "cli/commands.h"
#include "cli/json.h"
#include "cli/load.h"
#include "cli/render.h"
#include "take/backing.h"
#include "take/smf_write.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
  OPT_OUTPUT,
  OPT_FEEL,
  OPT_CHORUSES,
  OPT_COUNT_IN,
  OPT_CLICK,
  OPT_LEVEL,
  OPT_TEMPO,
  OPT_STEMS,
  OPT_AUDIO,
  OPT_SOUNDFONT,
  OPT_JSON,
};

static const WayOption options[] = {
    [OPT_OUTPUT] = {"output", 'o', "FILE",
                    "The MIDI file to write (- for standard output)"},
    [OPT_FEEL] = {"feel", 'f', "NAME",
                  "straight, swing, waltz or bossa (by the metre if not given)"},
    [OPT_CHORUSES] = {"choruses", 0, "N", "How often the form is played (3)"},
    [OPT_COUNT_IN] = {"count-in", 0, "BARS", "Bars clicked before it begins (2)"},
    [OPT_CLICK] = {"click", 0, "NAME", "Where it clicks: beats, count-in, off (beats)"},
    [OPT_LEVEL] = {"level", 0, "PERCENT", "How hard notes are struck, 1 to 100 (60)"},
    [OPT_TEMPO] = {"tempo", 0, "N",
                   "Quarter notes a minute, in place of the chart's tempo"},
    [OPT_STEMS] = {"stems", 0, NULL,
                   "Also write each part alone: FILE-comping.mid, FILE-bass.mid ..."},
    [OPT_AUDIO] = {"audio", 'a', "FILE.wav", "Also render it, with fluidsynth"},
    [OPT_SOUNDFONT] = {"soundfont", 0, "FILE",
                       "The sounds to render with, in place of fluidsynth's own"},
    [OPT_JSON] = {"json", 'j', NULL, "Print what was made as JSON"},
    {0},
};

static const char* feel_name(unsigned i) { return way_feel_name((WayFeel)i); }
static const char* click_name(unsigned i) { return way_click_name((WayClick)i); }

/// What a call comes to.
typedef struct {
  WayChart* chart;
  WayTimeline* timeline;
  WayBackingChoice choice;
  double tempo; // 0: the chart's
  WaySmf* smf;
  WayTick start;
} Job;

static WayExit read_options(const WayArgs* args, Job* job) {
  WayBackingChoice* const c = &job->choice;
  unsigned feel = c->feel, click = c->click;
  int choruses = (int)c->choruses, count_in = (int)c->count_in, level = c->level;
  if (way_cli_choice(args, OPT_FEEL, WAY_FEEL_COUNT, feel_name, &feel) ||
      way_cli_choice(args, OPT_CLICK, WAY_CLICK_COUNT, click_name, &click) ||
      way_cli_int(args, OPT_CHORUSES, 1, WAY_CHORUSES_MAX, &choruses) ||
      way_cli_int(args, OPT_COUNT_IN, 0, WAY_COUNT_IN_MAX, &count_in) ||
      way_cli_int(args, OPT_LEVEL, 1, 100, &level) ||
      way_cli_number(args, OPT_TEMPO, 10, 1000, &job->tempo))
    return WAY_EXIT_USAGE;
  c->feel = (WayFeel)feel;
  c->click = (WayClick)click;
  c->choruses = (uint32_t)choruses;
  c->count_in = (uint32_t)count_in;
  c->level = (uint8_t)level;
  const char* const output = args->value[OPT_OUTPUT];
  if (!output && !args->value[OPT_AUDIO])
    return way_cli_usage(args, "expected -o FILE or --audio FILE.wav");
  static const unsigned audio[] = {OPT_AUDIO};
  if (way_cli_needs(args, OPT_SOUNDFONT, audio, 1)) return WAY_EXIT_USAGE;
  if (args->value[OPT_STEMS] && (!output || !strcmp(output, "-")))
    return way_cli_usage(args, "--stems needs -o FILE");
  static const unsigned outputs[] = {OPT_OUTPUT, OPT_AUDIO, OPT_JSON};
  const char* const inputs[] = {args->words[0], args->value[OPT_SOUNDFONT]};
  return way_cli_files_apart(args, outputs, WAY_COUNT(outputs), inputs,
                             WAY_COUNT(inputs));
}

static WayExit make(const char* path, Job* job) {
  WayExit end = way_cli_chart(path, &job->chart);
  if (end) return end;
  WayStatus st = way_chart_unroll(job->chart, &job->timeline);
  if (!st && job->tempo > 0) job->timeline->tempo = job->tempo;
  if (!st)
    st = way_backing_new(job->chart, job->timeline, &job->choice, &job->start,
                         &job->smf);
  if (st == WAY_ERR_FULL)
    return way_cli_failed(path, "more than a million bars in all choruses");
  return st ? way_cli_failed(path, "%s", way_strerror(st)) : WAY_EXIT_OK;
}

static WayExit write_midi(const char* output, const WaySmf* smf) {
  uint8_t* bytes;
  size_t size;
  if (!smf || way_smf_write(smf, &bytes, &size))
    return way_cli_failed(output, "%s", way_strerror(WAY_ERR_NO_MEMORY));
  const WayExit end = way_cli_write(output, bytes, size);
  free(bytes);
  return end;
}

/// The file of one part beside the whole: `loop.mid` has its bass in `loop-bass.mid`.
/// To be freed with free(); NULL after a message.
static char* stem_path(const char* output, WayPart part) {
  const char* const slash = strrchr(output, '/');
  const char* const dot = strrchr(output, '.');
  const size_t stem = dot && dot > (slash ? slash + 1 : output) ? (size_t)(dot - output)
                                                                : strlen(output);
  const size_t room = strlen(output) + 32;
  char* const path = malloc(room);
  if (path)
    snprintf(path, room, "%.*s-%s%s", (int)stem, output, way_part_name(part),
             output + stem);
  else
    way_cli_failed(output, "%s", way_strerror(WAY_ERR_NO_MEMORY));
  return path;
}

/// See that a stem is written over nothing else.
static WayExit stem_apart(const WayArgs* args, const char* path) {
  const char* const audio = args->value[OPT_AUDIO];
  if (audio && way_cli_same_file(path, audio))
    return way_cli_usage(args, "--stems and --audio both write to %s", audio);
  const WayExit end = way_cli_apart(path, args->words[0]);
  return end ? end : way_cli_apart(path, args->value[OPT_SOUNDFONT]);
}

/// Write each part alone; before anything, with `smf` NULL, see that they can be.
static WayExit write_stems(const WayArgs* args, const WaySmf* smf) {
  WayExit end = WAY_EXIT_OK;
  for (int part = 0; !end && args->value[OPT_STEMS] && part < WAY_PART_COUNT; ++part) {
    char* const path = stem_path(args->value[OPT_OUTPUT], (WayPart)part);
    if (!path) return WAY_EXIT_FAILED;
    WaySmf* const alone = smf ? way_backing_stem(smf, (WayPart)part) : NULL;
    end = smf ? write_midi(path, alone) : stem_apart(args, path);
    way_smf_free(alone);
    free(path);
  }
  return end;
}

static WayExit write_all(const WayArgs* args, const Job* job) {
  const char* const output = args->value[OPT_OUTPUT];
  const char* const audio = args->value[OPT_AUDIO];
  WayExit end = write_stems(args, NULL);
  if (!end && audio) end = way_cli_render(job->smf, args->value[OPT_SOUNDFONT], audio);
  if (!end && output) end = write_midi(output, job->smf);
  if (!end) end = write_stems(args, job->smf);
  return end;
}

static WayExit print_json(const Job* job) {
  const WayTimeline* const t = job->timeline;
  const double quarters =
      (double)(job->start + job->choice.choruses * t->length) / WAY_TICKS_PER_QUARTER;
  json_t* const tracks = json_array();
  for (uint32_t i = 0; i < job->smf->n_tracks; ++i) {
    const WayText name = way_smf_track_name(&job->smf->tracks[i]);
    json_array_append_new(tracks, json_stringn(name.at, name.size));
  }
  return way_json_print(json_pack(
      "{s:i, s:i, s:i, s:f, s:f, s:o}", "choruses", (int)job->choice.choruses, "bars",
      (int)t->n_bars, "start_bar", (int)job->choice.count_in + 1, "tempo", t->tempo,
      "seconds", quarters * 60 / t->tempo, "tracks", tracks));
}

static void print_made(const Job* job) {
  printf("%u %s of %u bars, the first from bar %u\n", job->choice.choruses,
         job->choice.choruses == 1 ? "chorus" : "choruses", job->timeline->n_bars,
         job->choice.count_in + 1);
}

static WayExit run(const WayArgs* args) {
  Job job = {.choice = way_backing_default()};
  WayExit end = read_options(args, &job);
  if (!end) end = make(args->words[0], &job);
  if (!end) end = write_all(args, &job);
  const char* const output = args->value[OPT_OUTPUT];
  if (!end && args->value[OPT_JSON])
    end = print_json(&job);
  else if (!end && (!output || strcmp(output, "-")))
    print_made(&job);
  way_smf_free(job.smf);
  way_timeline_free(job.timeline);
  way_chart_free(job.chart);
  return end;
}

const WayCommand way_cmd_backing = {
    "backing",
    "CHART",
    "Make a loop to play over: comping, bass, click and a chord track",
    "Begin with the volume low: how loud it is depends on what plays it.\n"
    "The track Chords is silent and there for the plug-in's chord input.\n"
    "docs/teacher.md tells the rules.\n",
    options,
    1,
    1,
    run};
