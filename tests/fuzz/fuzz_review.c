// Any take that can be read is reviewed, over the chords it brings or over a fixed
// chart.
#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "take/heard.h"
#include "take/review_json.h"
#include "take/review_text.h"
#include "take/smf_read.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

static void require(bool holds) {
  if (!holds) abort();
}

static void check_landings(const WayReview* r) {
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const WayLandingSeen* const l = &r->landings[i];
    require(!i || l[-1].change < l->change);
    require(l->held_over == WAY_NO_NOTE || l->held_over < r->take->n);
    require(l->first_onset == WAY_NO_NOTE || l->first_onset < r->take->n);
  }
  for (uint32_t i = 0; i < r->take->n; ++i)
    require(r->notes[i].resolves_to == WAY_NO_NOTE ||
            (r->notes[i].resolves_to >= i && r->notes[i].resolves_to < r->take->n));
}

static void review(const WaySmf* smf, const WayChart* chart, WayTick origin) {
  const WayTakeChoice any = {-1, NULL, 0};
  WayTimeline* timeline = NULL;
  WayTake* take = NULL;
  WayReview* r = NULL;
  char* text = NULL;
  size_t size = 0;
  if (!way_chart_unroll(chart, &timeline) && !way_take_new(smf, &any, &take, NULL) &&
      take->n < 5000 &&
      !way_review_new(take, timeline, origin, WAY_TICKS_PER_QUARTER / 2, &r) &&
      r->n_landings < 5000) {
    check_landings(r);
    const WayReviewHead head = {"take", chart->title,
                                way_smf_track_name(&smf->tracks[take->track])};
    FILE* const to = open_memstream(&text, &size);
    require(to && !way_review_json(r, &head, to) &&
            !way_review_text(r, &head, true, to));
    fclose(to);
    free(text);
  }
  way_review_free(r);
  way_take_free(take);
  way_timeline_free(timeline);
}

static void review_over_its_own(const WaySmf* smf, bool names) {
  const WayTakeChoice any = {-1, NULL, 0};
  WayHeard heard = {0, NULL};
  WayChart* chart = NULL;
  if (names ? way_heard_names(smf, &heard, NULL)
            : way_heard_track(smf, &any, &heard, NULL))
    return;
  if (!way_heard_chart(smf, &heard, 0, names, &chart, NULL)) review(smf, chart, 0);
  way_chart_free(chart);
  free(heard.chords);
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  WaySmf* smf = NULL;
  if (way_smf_read(data, size, &smf, NULL)) return 0;
  WayChart* chart = NULL;
  require(!way_chart_read(
      way_text("key: D major\n[A]\n| D | G>3 A7 |\n[B]\n| N.C. | D |\n"), &chart,
      NULL));
  review(smf, chart, 2 * WAY_TICKS_PER_QUARTER);
  way_chart_free(chart);
  review_over_its_own(smf, true);
  review_over_its_own(smf, false);
  way_smf_free(smf);
  return 0;
}
