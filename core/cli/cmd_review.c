#include "chart/chart_unroll.h"
#include "cli/commands.h"
#include "cli/load.h"
#include "take/bars.h"
#include "take/review_text.h"

#include <math.h>
#include <stdio.h>

enum { CHART, TRACK, CHANNEL, START_BAR, EARLY, JSON };
static const WayOption options[] = {
    {"chart", 'c', "FILE", "Chords of the form, as chart text"},
    {"track", 't', "N|NAME", "Track to review, counted from 0, or its name"},
    {"channel", 0, "N", "Only notes on this channel, 1 to 16"},
    {"start-bar", 0, "N", "Bar of the take where the form begins (1)"},
    {"early", 'e', "BEATS",
     "A note this close before a change belongs to the next chord (0)"},
    {"json", 'j', NULL, "One JSON document a take, on a line of its own"},
    {0}};

/// What all takes of one call share.
typedef struct {
  WayChart* chart;
  WayTimeline* timeline;
  WayTakeChoice choice;
  int start_bar;
  double early; // beats
  bool json;
} Job;

static void free_job(Job* job) {
  way_timeline_free(job->timeline);
  way_chart_free(job->chart);
}

static WayExit read_chart(const char* path, Job* job) {
  const WayExit end = way_cli_chart(path, &job->chart);
  if (end) return end;
  const WayStatus st = way_chart_unroll(job->chart, &job->timeline);
  return st ? way_cli_failed(path, "%s", way_strerror(st)) : WAY_EXIT_OK;
}

static WayExit review_take(const char* path, const Job* job, const WaySmf* smf,
                           const WayTake* take, WayReview** out) {
  WayTick origin = 0;
  WayStatus st =
      way_bars_start(smf, (uint32_t)job->start_bar, job->chart->metre, &origin);
  const double early = job->early * (double)way_review_beat(job->timeline);
  if (!st) st = way_review_new(take, job->timeline, origin, llround(early), out);
  if (st == WAY_ERR_UNSUPPORTED)
    return way_cli_failed(path, "the take goes on for over a million changes of chord");
  return st ? way_cli_failed(path, "%s", way_strerror(st)) : WAY_EXIT_OK;
}

static WayExit print_review(const char* path, const Job* job, const WaySmf* smf) {
  WayTake* take = NULL;
  WayError error = {WAY_OK, 0, 0, 0, ""};
  if (way_take_new(smf, &job->choice, &take, &error))
    return way_cli_failed(path, "%s", error.message);
  WayReview* review = NULL;
  WayExit end = review_take(path, job, smf, take, &review);
  const WayReviewHead head = {path, job->chart->title,
                              way_smf_track_name(&smf->tracks[take->track])};
  if (!end) {
    const WayStatus st =
        (job->json ? way_review_json : way_review_text)(review, &head, stdout);
    if (st) end = way_cli_failed(path, "%s", way_strerror(st));
  }
  way_review_free(review);
  way_take_free(take);
  return end;
}

static WayExit review_file(const char* path, const Job* job) {
  WayMidiFile midi;
  const WayExit end = way_cli_midi(path, &midi);
  if (end) return end;
  const WayExit printed = print_review(path, job, midi.smf);
  way_cli_free_midi(&midi);
  return printed;
}

/// Review every take; one that cannot be read does not keep the others from it.
static WayExit review_all(const WayArgs* args, const Job* job) {
  WayExit end = WAY_EXIT_OK;
  for (uint32_t i = 0; i < args->n; ++i) {
    char progress[64];
    snprintf(progress, sizeof(progress), "take %u of %u", i + 1, args->n);
    if (args->n > 1) way_cli_progress(progress);
    if (i && !job->json) putchar('\n');
    const WayExit one = review_file(args->words[i], job);
    if (one) end = one;
  }
  if (args->n > 1) way_cli_progress(NULL);
  return end;
}

static WayExit run(const WayArgs* args) {
  Job job = {.choice = {-1, NULL, 0}, .start_bar = 1};
  if (!args->value[CHART]) return way_cli_usage(args, "expected --chart FILE");
  way_cli_track(args, TRACK, &job.choice);
  job.json = args->value[JSON] != NULL;
  WayExit end = way_cli_int(args, CHANNEL, 1, 16, &job.choice.channel);
  if (!end) end = way_cli_int(args, START_BAR, 1, 1000000, &job.start_bar);
  if (!end) end = way_cli_number(args, EARLY, 0, 16, &job.early);
  if (!end) end = read_chart(args->value[CHART], &job);
  if (!end) end = review_all(args, &job);
  free_job(&job);
  return end;
}

const WayCommand way_cmd_review = {
    "review",
    "TAKE.mid...",
    "Tell what each note of a take is to its chord, and where it lands",
    "Prints each note, each landing and the totals; docs/review.md explains them.\n",
    options,
    1,
    WAY_ANY_WORDS,
    run};
