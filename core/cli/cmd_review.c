#include "chart/chart_unroll.h"
#include "cli/commands.h"
#include "cli/load.h"
#include "cli/log_file.h"
#include "cli/review_files.h"
#include "live/settings.h"
#include "take/bars.h"
#include "take/heard.h"
#include "take/review_text.h"
#include "take/tempo_map.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
  CHART,
  CHORD_TRACK,
  CHORD_NAMES,
  LEARN,
  TRACK,
  MELODY_CHANNEL,
  START_BAR,
  EARLY,
  BRIEF,
  JSON,
  MARKERS,
  CSV,
  CAPTIONS,
  OFFSET,
  MATRIX,
  SVG,
  PDF,
  PNG,
  REPORT,
  LOG,
  DB,
  DAY
};
static const WayOption options[] = {
    {"chart", 'c', "FILE", "Chords of the form, as chart text"},
    {"chord-track", 0, "N|NAME",
     "Take the chords from the notes of this track instead"},
    {"chord-names", 0, NULL,
     "Take them from names among the take's markers, texts or lyrics"},
    {"learn", 0, "NAME",
     "Find the form by what comes round in these chords: off, on (on without a "
     "source)"},
    {"track", 't', "N|NAME", "The melody's track, counted from 0, or its name"},
    {"melody-channel", 0, "N", "The melody's channel, 1 to 16; 0 for all (0)"},
    {"start-bar", 0, "N", "Bar of the take where the form begins (1)"},
    {"early", 'e', "BEATS",
     "A note this close before a change belongs to the next chord (0)"},
    {"brief", 'b', NULL, "Only the page: without every note, landing and phrase"},
    {"json", 'j', NULL, "One JSON document a take, on a line of its own"},
    {"markers", 0, "FILE", "Write the take again, its marks as Marker events"},
    {"csv", 0, "FILE", "Write its marks as a table"},
    {"captions", 0, "FILE", "Write WebVTT captions for a video of the take"},
    {"offset", 0, "SECONDS", "Where in that video the take begins (0)"},
    {"matrix", 0, NULL, "Draw the degrees by chord with --svg, --pdf, --png"},
    {"svg", 0, "FILE", "Draw the take over its chords"},
    {"pdf", 0, "FILE", "The same on A4 pages"},
    {"png", 0, "FILE", "The same as an image"},
    {"report", 0, "FILE", "Write a PDF to hand over: picture, tables, suggestions"},
    {"log", 0, NULL, "Also store the take's figures in the practice log"},
    {"db", 0, "FILE", "The practice log, if not that of the user"},
    {"day", 0, "YYYY-MM-DD", "When the take was played, if not when it was saved"},
    {0}};

/// What all takes of one call share; the chart is each take's own if it isn't a file.
typedef struct {
  WayChart* chart;
  WayTimeline* timeline;
  bool chord_names;
  bool learn;
  WayTakeChoice chord_track; // neither track nor name: none
  WayTakeChoice choice;
  int start_bar;
  double early; // beats
  bool tables;
  bool json;
  WayReviewFiles files;
  const char* chart_path; // NULL: each take brings its own chords
  const char* day;        // NULL: the day of the file
  WayLog* log;            // NULL: none
  char log_path[WAY_LOG_PATH_MAX];
} Job;

static void free_job(Job* job) {
  way_timeline_free(job->timeline);
  way_chart_free(job->chart);
}

static WayExit unroll(const char* path, Job* job) {
  const WayStatus st = way_chart_unroll(job->chart, &job->timeline);
  return st ? way_cli_failed(path, "%s", way_strerror(st)) : WAY_EXIT_OK;
}

static WayExit read_chart(const char* path, Job* job) {
  const WayExit end = way_cli_chart(path, &job->chart);
  return end ? end : unroll(path, job);
}

static WayStatus hear(const Job* job, const WaySmf* smf, WayHeard* out,
                      WayError* error) {
  if (job->chord_names) return way_heard_names(smf, out, error);
  const bool chosen = job->chord_track.name || job->chord_track.track >= 0;
  return chosen ? way_heard_track(smf, &job->chord_track, out, error)
                : way_heard_anywhere(smf, out, error);
}

/// Write down the chords that the take itself brings.
static WayExit hear_chart(const char* path, const WaySmf* smf, WayTick origin,
                          Job* job) {
  WayError error = {WAY_OK, 0, 0, 0, ""};
  WayHeard heard = {0, NULL};
  WayStatus st = hear(job, smf, &heard, &error);
  if (!st) st = way_heard_chart(smf, &heard, origin, job->learn, &job->chart, &error);
  free(heard.chords);
  if (st) return way_cli_failed(path, "%s", error.message);
  return unroll(path, job);
}

/// Print a review, or write the files asked for; JSON goes with both.
static WayExit tell(const Job* job, const WayReviewed* reviewed) {
  const bool wanted = way_cli_review_wanted(&job->files);
  const WayExit end = way_cli_review_write(&job->files, reviewed);
  if (end || (wanted && !job->json)) return end;
  const WayStatus st =
      job->json
          ? way_review_json(reviewed->review, reviewed->head, stdout)
          : way_review_text(reviewed->review, reviewed->head, job->tables, stdout);
  return st ? way_cli_failed(reviewed->head->take, "%s", way_strerror(st))
            : WAY_EXIT_OK;
}

/// What a take is filed under: the title of its chart, else the name of a file.
static const char* tune_of(const Job* job, const char* take) {
  if (*job->chart->title) return job->chart->title;
  const char* const file = job->chart_path ? job->chart_path : take;
  const char* const slash = strrchr(file, '/');
  return slash ? slash + 1 : file;
}

/// Store a take before it is told, so that what has been told is in the log.
static WayExit store(const Job* job, const WayReviewed* reviewed) {
  const char* const path = reviewed->head->take;
  WayTempoMap* const tempo = way_tempo_map_new(reviewed->smf);
  if (!tempo) return way_cli_failed(path, "%s", way_strerror(WAY_ERR_NO_MEMORY));
  const WayTake* const take = reviewed->review->take;
  const uint64_t end = reviewed->smf->tracks[take->track].end;
  WayLogTake row = way_figures(reviewed->review, way_tempo_map_seconds(tempo, end),
                               tune_of(job, path), path);
  way_tempo_map_free(tempo);
  if (job->day)
    memcpy(row.day.text, job->day, sizeof(row.day.text));
  else
    row.day = way_cli_day(path);
  WayError error = {.status = WAY_OK};
  if (way_log_add(job->log, &row, reviewed->review, NULL, &error))
    return way_cli_failed(job->log_path, "%s", error.message);
  return WAY_EXIT_OK;
}

static WayExit review_take(const char* path, const Job* job, const WayMidiFile* midi,
                           WayTick origin) {
  WayTake* take = NULL;
  WayError error = {WAY_OK, 0, 0, 0, ""};
  if (way_take_new(midi->smf, &job->choice, &take, &error))
    return way_cli_failed(path, "%s", error.message);
  WayReview* review = NULL;
  const double early = job->early * (double)way_review_beat(job->timeline);
  const WayStatus st =
      way_review_new(take, job->timeline, origin, llround(early), &review);
  const WayReviewHead head = {path, job->chart->title,
                              way_smf_track_name(&midi->smf->tracks[take->track])};
  WayExit end = WAY_EXIT_OK;
  if (st == WAY_ERR_UNSUPPORTED) {
    end = way_cli_failed(path, "the take goes on for over a million changes of chord");
  } else if (st) {
    end = way_cli_failed(path, "%s", way_strerror(st));
  } else {
    const WayReviewed reviewed = {review, &head, midi->smf, &midi->file};
    if (job->log) end = store(job, &reviewed);
    if (!end) end = tell(job, &reviewed);
  }
  way_review_free(review);
  way_take_free(take);
  return end;
}

/// Review one take; a chart that is its own lasts until the next.
static WayExit review_midi(const char* path, Job* job, const WayMidiFile* midi,
                           bool own) {
  const WayMetre metre = own ? (WayMetre){4, 4} : job->chart->metre;
  WayTick origin = 0;
  if (way_cli_start(path, midi->smf, job->start_bar, metre, &origin))
    return WAY_EXIT_FAILED;
  if (own) {
    free_job(job);
    job->chart = NULL;
    job->timeline = NULL;
    const WayExit end = hear_chart(path, midi->smf, origin, job);
    if (end) return end;
  }
  return review_take(path, job, midi, origin);
}

static WayExit review_file(const char* path, Job* job, bool own) {
  WayMidiFile midi;
  const WayExit end = way_cli_midi(path, &midi);
  if (end) return end;
  const WayExit printed = review_midi(path, job, &midi, own);
  way_cli_free_midi(&midi);
  return printed;
}

/// Review every take; one that cannot be read does not keep the others from it.
static WayExit review_all(const WayArgs* args, Job* job) {
  const bool own = !args->value[CHART];
  WayExit end = WAY_EXIT_OK;
  for (uint32_t i = 0; i < args->n; ++i) {
    char progress[64];
    snprintf(progress, sizeof(progress), "take %u of %u", i + 1, args->n);
    if (args->n > 1) way_cli_progress(progress);
    if (i && !job->json) putchar('\n');
    const WayExit one = review_file(args->words[i], job, own);
    if (one) end = one;
  }
  if (args->n > 1) way_cli_progress(NULL);
  return end;
}

/// Which files to write; they are of one take.
static WayExit read_files(const WayArgs* args, WayReviewFiles* out) {
  *out = (WayReviewFiles){.markers = args->value[MARKERS],
                          .csv = args->value[CSV],
                          .captions = args->value[CAPTIONS],
                          .matrix = args->value[MATRIX] != NULL,
                          .svg = args->value[SVG],
                          .pdf = args->value[PDF],
                          .png = args->value[PNG],
                          .report = args->value[REPORT]};
  static const unsigned captions[] = {CAPTIONS}, pictures[] = {SVG, PDF, PNG};
  if (way_cli_needs(args, OFFSET, captions, WAY_COUNT(captions)) ||
      way_cli_needs(args, MATRIX, pictures, WAY_COUNT(pictures)))
    return WAY_EXIT_USAGE;
  if (way_cli_review_wanted(out) && args->n > 1)
    return way_cli_usage(args, "files are written for one take at a time");
  return way_cli_number(args, OFFSET, -86400, 86400, &out->offset);
}

static WayExit check_log(const WayArgs* args, Job* job) {
  job->day = args->value[DAY];
  static const unsigned log[] = {LOG};
  if (way_cli_needs(args, DB, log, 1) || way_cli_needs(args, DAY, log, 1))
    return WAY_EXIT_USAGE;
  if (job->day && !way_day_valid(job->day))
    return way_cli_usage(args, "--day: expected a day such as 2026-11-25, not '%s'",
                         job->day);
  return WAY_EXIT_OK;
}

/// See that no file asked for is one that is read, or `log`.
static WayExit check_apart(const WayArgs* args, const char* log) {
  static const unsigned outputs[] = {MARKERS, CSV, CAPTIONS, SVG,
                                     PDF,     PNG, REPORT,   JSON};
  const char* const others[] = {args->words[0], args->value[CHART], log};
  return way_cli_files_apart(args, outputs, WAY_COUNT(outputs), others,
                             WAY_COUNT(others));
}

/// Open the log if it is asked for, before any work is done.
static WayExit open_log(const WayArgs* args, Job* job) {
  if (!args->value[LOG]) return WAY_EXIT_OK;
  return way_cli_log(args->value[DB], WAY_LOG_WRITE, &job->log, job->log_path);
}

/// Where the chords come from.
static WayExit read_source(const WayArgs* args, Job* job) {
  const int sources = (args->value[CHART] != NULL) +
                      (args->value[CHORD_TRACK] != NULL) +
                      (args->value[CHORD_NAMES] != NULL);
  if (sources > 1)
    return way_cli_usage(args, "expected one of --chart, --chord-track, --chord-names");
  unsigned learn = !sources;
  if (way_cli_choice(args, LEARN, 2, way_learn_name, &learn)) return WAY_EXIT_USAGE;
  if (args->value[CHART] && learn)
    return way_cli_usage(args, "--learn on needs no chart: it finds the form");
  way_cli_track(args, CHORD_TRACK, &job->chord_track);
  job->chord_names = args->value[CHORD_NAMES] != NULL;
  job->learn = learn;
  return WAY_EXIT_OK;
}

static WayExit run(const WayArgs* args) {
  Job job = {.choice = {-1, NULL, 0},
             .chord_track = {-1, NULL, 0},
             .start_bar = 1,
             .chart_path = args->value[CHART]};
  way_cli_track(args, TRACK, &job.choice);
  job.tables = !args->value[BRIEF];
  job.json = args->value[JSON] != NULL;
  WayExit end = read_source(args, &job);
  if (!end) end = way_cli_int(args, MELODY_CHANNEL, 0, 16, &job.choice.channel);
  if (!end) end = way_cli_int(args, START_BAR, 1, WAY_START_BAR_MAX, &job.start_bar);
  if (!end) end = way_cli_number(args, EARLY, 0, WAY_EARLY_MAX, &job.early);
  if (!end) end = read_files(args, &job.files);
  if (!end) end = check_log(args, &job);
  if (!end) end = check_apart(args, NULL);
  if (!end && args->value[CHART]) end = read_chart(args->value[CHART], &job);
  if (!end) end = open_log(args, &job);
  if (!end && job.log) end = check_apart(args, job.log_path);
  if (!end) end = review_all(args, &job);
  way_log_close(job.log);
  free_job(&job);
  return end;
}

const WayCommand way_cmd_review = {
    "review",
    "TAKE.mid...",
    "Tell what a take does with its chords, and what might be tried next",
    "Prints every note, landing and phrase, then a page on where the line lands, leans "
    "and\nlets go, on its phrases and on what might be tried next; docs/review.md "
    "explains it.\n",
    options,
    1,
    WAY_ANY_WORDS,
    run};
