// `waymark fit`: a sketched melody moved to the material of its chords.
#include "chart/chart_unroll.h"
#include "cli/commands.h"
#include "cli/load.h"
#include "cli/words.h"
#include "take/bars.h"
#include "take/fit.h"
#include "take/review.h"
#include "theory/chord_write.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
  OPT_CHART,
  OPT_OUTPUT,
  OPT_IN_PLACE,
  OPT_DRY_RUN,
  OPT_MATERIAL,
  OPT_SCOPE,
  OPT_EMBELLISHING,
  OPT_MAX_DISTANCE,
  OPT_SNAP,
  OPT_RANGE_LOW,
  OPT_RANGE_HIGH,
  OPT_TRACK,
  OPT_MELODY_CHANNEL,
  OPT_BY_CHANNEL,
  OPT_START_BAR,
  OPT_EARLY,
  OPT_JSON,
};

static const WayOption options[] = {
    [OPT_CHART] = {"chart", 'c', "FILE", "The chart (- reads standard input)"},
    [OPT_OUTPUT] = {"output", 'o', "FILE",
                    "The MIDI file to write (- for standard output)"},
    [OPT_IN_PLACE] = {"in-place", 0, NULL, "Write over SKETCH.mid itself"},
    [OPT_DRY_RUN] = {"dry-run", 'n', NULL,
                     "Print what would move and why; write nothing"},
    [OPT_MATERIAL] = {"material", 'm', "NAME",
                      "The notes to move to, such as pentatonic (chord-scale)"},
    [OPT_SCOPE] =
        {"scope", 0, "NAME",
         "Notes to lie in the material: every, beats, strong, landings (every)"},
    [OPT_EMBELLISHING] = {"embellishing", 0, "KINDS",
                          "Tones that stay if they resolve: "
                          "passing,neighbour,approach"},
    [OPT_MAX_DISTANCE] = {"max-distance", 0, "SEMITONES",
                          "The farthest a note is moved (12)"},
    [OPT_SNAP] = {"snap", 0, "NAME",
                  "Which way notes move: nearest, up, down (nearest)"},
    [OPT_RANGE_LOW] = {"range-low", 0, "NOTE", "The lowest key of the melody (0)"},
    [OPT_RANGE_HIGH] = {"range-high", 0, "NOTE", "The highest key of the melody (127)"},
    [OPT_TRACK] = {"track", 't', "N|NAME",
                   "The melody's track, counted from 0, or its name"},
    [OPT_MELODY_CHANNEL] = {"melody-channel", 0, "N",
                            "The melody's channel, 1 to 16; 0 for all (0)"},
    [OPT_BY_CHANNEL] = {"by-channel", 0, NULL, "Each channel is a line of its own"},
    [OPT_START_BAR] = {"start-bar", 0, "N",
                       "Bar of the sketch where the chart begins (1)"},
    [OPT_EARLY] = {"early", 'e', "BEATS",
                   "A note this close before a change belongs to the next chord (0)"},
    [OPT_JSON] = {"json", 'j', NULL, "Print every note of the line as JSON"},
    {0},
};

static const char* material_name(unsigned i) {
  return way_material_name((WayMaterial)i);
}

/// Read `--embellishing`: names divided by commas.
static WayExit read_keep(const WayArgs* args, unsigned* keep) {
  static const char* const names[] = {"passing", "neighbour", "approach"};
  const char* at = args->value[OPT_EMBELLISHING];
  while (at && *at) {
    const size_t n = strcspn(at, ",");
    size_t i = 0;
    while (i < WAY_COUNT(names) && !way_text_is((WayText){at, n}, names[i])) ++i;
    if (i == WAY_COUNT(names))
      return way_cli_usage(
          args,
          "--embellishing: expected some of passing,neighbour,approach, not '%.*s'",
          (int)n, at);
    *keep |= 1u << i;
    at += n + (at[n] == ',');
  }
  return WAY_EXIT_OK;
}

/// What a call comes to.
typedef struct {
  WayFitChoice choice;
  WayTimeline* chart;
  int start_bar;
  double early; // beats
} Job;

static WayExit read_options(const WayArgs* args, Job* job) {
  WayFitChoice* const c = &job->choice;
  unsigned material = c->material, scope = c->scope, snap = c->snap;
  int max_distance = c->max_distance;
  if (way_cli_choice(args, OPT_MATERIAL, WAY_MATERIAL_COUNT, material_name,
                     &material) ||
      way_cli_choice(args, OPT_SCOPE, WAY_SCOPE_COUNT, way_scope_name, &scope) ||
      way_cli_choice(args, OPT_SNAP, WAY_SNAP_COUNT, way_snap_name, &snap) ||
      read_keep(args, &c->keep) ||
      way_cli_int(args, OPT_MAX_DISTANCE, 0, 127, &max_distance) ||
      way_cli_range(args, OPT_RANGE_LOW, OPT_RANGE_HIGH, 1, 128, &c->low, &c->high) ||
      way_cli_int(args, OPT_MELODY_CHANNEL, 0, 16, &c->melody.channel) ||
      way_cli_int(args, OPT_START_BAR, 1, WAY_START_BAR_MAX, &job->start_bar) ||
      way_cli_number(args, OPT_EARLY, 0, WAY_EARLY_MAX, &job->early))
    return WAY_EXIT_USAGE;
  c->material = (WayMaterial)material;
  c->scope = (WayScope)scope;
  c->snap = (WaySnap)snap;
  c->max_distance = (uint8_t)max_distance;
  c->by_channel = args->value[OPT_BY_CHANNEL] != NULL;
  way_cli_track(args, OPT_TRACK, &c->melody);
  return WAY_EXIT_OK;
}

/// Whether it is clear what is to be written where.
static WayExit check_outputs(const WayArgs* args) {
  const char* const output = args->value[OPT_OUTPUT];
  const bool in_place = args->value[OPT_IN_PLACE], dry = args->value[OPT_DRY_RUN];
  if (!args->value[OPT_CHART]) return way_cli_usage(args, "expected --chart FILE");
  if (!output + !in_place + !dry != 2)
    return way_cli_usage(args, "expected one of -o FILE, --in-place, --dry-run");
  if (in_place && !strcmp(args->words[0], "-"))
    return way_cli_usage(args, "--in-place needs a file");
  static const unsigned outputs[] = {OPT_OUTPUT, OPT_JSON};
  const char* const inputs[] = {args->words[0], args->value[OPT_CHART]};
  return way_cli_files_apart(args, outputs, WAY_COUNT(outputs), inputs,
                             WAY_COUNT(inputs));
}

// ---- What is printed.

/// Write a pitch as spelled over its chord, with its octave.
static const char* pitch_text(const Job* job, uint32_t harmony, uint8_t pitch,
                              char* text) {
  const WayTimeline* const t = job->chart;
  const WayPc pc = way_pc(pitch);
  const WaySpelling note = harmony == WAY_NO_HARMONY
                               ? way_key_spell(t->key, pc)
                               : way_harmony_spell(&t->harmonies[harmony], pc);
  WayOut out = way_out(text, WAY_SPELLING_MAX + 4);
  way_spelling_write(note, &out);
  way_out_int(&out, (pitch - note.alter) / 12 - 1);
  return text;
}

/// What the listing says of one note.
typedef struct {
  WayReviewPlace place;
  double beat; ///< In the bar, from 1
  char chord[WAY_SYMBOL_MAX], from[WAY_SPELLING_MAX + 4], to[WAY_SPELLING_MAX + 4];
  const char* why;
} Row;

static Row row_of(const Job* job, const WayFitNote* note) {
  const WayTimeline* const t = job->chart;
  Row row = {.place = way_review_place(t, note->start)};
  row.beat = 1 + (double)row.place.in_bar / (double)way_review_bar_beat(t, note->start);
  WayOut chord = way_out(row.chord, sizeof(row.chord));
  if (note->harmony != WAY_NO_HARMONY)
    way_chord_write(&t->harmonies[note->harmony].chord, &chord);
  pitch_text(job, note->harmony, note->from, row.from);
  pitch_text(job, note->harmony, note->to, row.to);
  row.why = note->why == WAY_FIT_KEPT ? way_embellish_name((WayEmbellish)note->kind)
                                      : way_fit_why_name((WayFitWhy)note->why);
  return row;
}

/// Whether a note is worth a line: it moves, or stays although it lies outside.
static bool is_told(const WayFitNote* note) {
  return note->why != WAY_FIT_IN && note->why != WAY_FIT_UNASKED;
}

static void print_notes(const Job* job, const WayFit* fit) {
  for (uint32_t i = 0; i < fit->n; ++i) {
    const WayFitNote* const note = &fit->notes[i];
    if (!is_told(note)) continue;
    const Row row = row_of(job, note);
    printf("%lld:%lld:%.4g\t%s\t%s\t%s\t%s%s\n", (long long)row.place.chorus,
           (long long)row.place.bar, row.beat, row.chord, row.from,
           note->to == note->from ? "stays" : row.to,
           note->why == WAY_FIT_KEPT ? "kept: " : "", row.why);
  }
}

typedef struct {
  uint32_t moved, kept, left;
} Totals;

static Totals totals(const WayFit* fit) {
  Totals t = {0, 0, 0};
  for (uint32_t i = 0; i < fit->n; ++i) {
    t.moved += fit->notes[i].to != fit->notes[i].from;
    t.kept += fit->notes[i].why == WAY_FIT_KEPT;
    t.left += fit->notes[i].why >= WAY_FIT_LEFT_FAR;
  }
  return t;
}

static void print_totals(const WayFit* fit) {
  const Totals t = totals(fit);
  printf("%u notes in line, %u moved, %u kept, %u left outside\n", fit->n, t.moved,
         t.kept, t.left);
}

static json_t* note_json(const Job* job, const WayFit* fit, const WayFitNote* note) {
  const Row row = row_of(job, note);
  json_t* const bytes = json_array();
  for (uint32_t b = 0; b < note->n_bytes; ++b)
    json_array_append_new(bytes, json_integer(fit->bytes[note->first_byte + b]));
  return json_pack(
      "{s:I, s:I, s:f, s:s, s:i, s:i, s:i, s:s, s:s, s:s, s:s, s:o}", "chorus",
      (json_int_t)row.place.chorus, "bar", (json_int_t)row.place.bar, "beat", row.beat,
      "chord", row.chord, "channel", note->channel + 1, "from", (int)note->from, "to",
      (int)note->to, "from_name", row.from, "to_name", row.to, "why",
      way_fit_why_name((WayFitWhy)note->why), "kind",
      note->kind == WAY_EMBELLISH_COUNT ? ""
                                        : way_embellish_name((WayEmbellish)note->kind),
      "bytes", bytes);
}

static WayExit print_json(const Job* job, const WayFit* fit) {
  const Totals t = totals(fit);
  WayJson j = {0};
  way_json_open(&j, NULL, '{');
  way_json_put(&j, "track", json_integer(fit->track));
  way_json_open(&j, "notes", '[');
  for (uint32_t i = 0; i < fit->n; ++i)
    way_json_put(&j, NULL, note_json(job, fit, &fit->notes[i]));
  way_json_close(&j, ']');
  way_json_put(&j, "totals",
               json_pack("{s:i, s:i, s:i, s:i, s:i}", "in_line", (int)fit->n, "below",
                         (int)fit->below, "moved", (int)t.moved, "kept", (int)t.kept,
                         "left", (int)t.left));
  way_json_close(&j, '}');
  return way_json_end(&j);
}

// ---- All of it.

static WayExit write_output(const WayArgs* args, const WayFit* fit, WayFile* file) {
  const char* const output =
      args->value[OPT_IN_PLACE] ? args->words[0] : args->value[OPT_OUTPUT];
  way_fit_apply(fit, (uint8_t*)file->at);
  return way_cli_write(output, file->at, file->size);
}

static WayExit report(const WayArgs* args, const Job* job, const WayFit* fit,
                      WayFile* file) {
  const bool dry = args->value[OPT_DRY_RUN];
  if (!dry) {
    const WayExit end = write_output(args, fit, file);
    if (end) return end;
  }
  if (args->value[OPT_JSON]) return print_json(job, fit);
  if (dry) print_notes(job, fit);
  if (dry || args->value[OPT_IN_PLACE] || strcmp(args->value[OPT_OUTPUT], "-"))
    print_totals(fit);
  return WAY_EXIT_OK;
}

static WayExit fit_file(const WayArgs* args, Job* job) {
  const char* const sketch = args->words[0];
  WayMidiFile midi;
  WayExit end = way_cli_midi(sketch, &midi);
  if (end) return end;
  WayFitChoice* const c = &job->choice;
  c->chart = job->chart;
  c->early = llround(job->early * (double)way_review_beat(job->chart));
  WayFit* fit = NULL;
  WayError error = {.status = WAY_OK};
  end = way_cli_start(sketch, midi.smf, job->start_bar, job->chart->bars[0].metre,
                      &c->origin);
  if (!end && way_fit_new((const uint8_t*)midi.file.at, midi.smf, c, &fit, &error))
    end = way_cli_error(sketch, &error);
  if (fit) end = report(args, job, fit, &midi.file);
  way_fit_free(fit);
  way_cli_free_midi(&midi);
  return end;
}

static WayExit run(const WayArgs* args) {
  Job job = {.choice = way_fit_choice_default(), .start_bar = 1};
  WayExit end = read_options(args, &job);
  if (!end) end = check_outputs(args);
  if (!end) end = way_cli_timeline(args->value[OPT_CHART], &job.chart);
  if (!end) end = fit_file(args, &job);
  way_timeline_free(job.chart);
  return end;
}

const WayCommand way_cmd_fit = {
    "fit",
    "SKETCH.mid",
    "Move a sketched melody to the notes of its chords, and keep its shape",
    "The melody as a whole moves as little as it can.  Only note numbers change in "
    "the\n"
    "file.  A dry run prints, divided by tabs: chorus:bar:beat, chord, note, where it\n"
    "goes, and why.  docs/teacher.md tells the rules.\n",
    options,
    1,
    1,
    run};
