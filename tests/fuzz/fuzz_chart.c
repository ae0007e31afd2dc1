// Chart text: whatever is read can be written, read again, moved and unrolled.
#include "chart/chart_read.h"
#include "chart/chart_transpose.h"
#include "chart/chart_unroll.h"
#include "chart/chart_walk.h"
#include "chart/chart_write.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

static void require(bool holds) {
  if (!holds) abort();
}

static void check(const WayChart* chart) {
  char* text = NULL;
  require(!way_chart_write(chart, &text));
  WayChart* again = NULL;
  require(!way_chart_read(way_text(text), &again, NULL));
  require(again->n_bars == chart->n_bars && again->n_slots == chart->n_slots);
  way_chart_free(again);
  free(text);
  WayChartSize size;
  require(!way_chart_size(chart, &size));
  if (size.bars > 10000) return; // right, but slow
  WayTimeline* t = NULL;
  require(!way_chart_unroll(chart, &t));
  require(t->n_bars == size.bars && t->n_spans <= size.chords);
  require(way_timeline_at(t, t->length - 1).bar == t->n_bars - 1);
  way_timeline_free(t);
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  WayChart* chart = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  const WayText text = {size ? (const char*)data : "", size};
  if (way_chart_read(text, &chart, &e)) {
    require(e.status && e.line && e.column && e.byte <= size && e.message[0]);
    return 0;
  }
  check(chart);
  WayChart* moved = NULL;
  if (!way_chart_transpose(chart, way_chart_tonic_moved(chart->key, (int)(size % 12)),
                           &moved))
    check(moved);
  way_chart_free(moved);
  way_chart_free(chart);
  return 0;
}
