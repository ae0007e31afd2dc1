// Charts in tests: read from a string, compared with all that counts.
#ifndef WAY_TESTS_CHART_TEXT_H
#define WAY_TESTS_CHART_TEXT_H

#include "chart/chart.h"

/// Read a chart that must be good; to be freed with way_chart_free().
WayChart* chart_of(const char* text);
/// See that reading `text` stops at a line and column with this status and message.
void expect_refused(const char* text, WayStatus status, uint32_t line, uint32_t column,
                    const char* message);
/// A text that is no chart, and where and why reading it stops.
typedef struct {
  const char* text;
  uint32_t line, column;
  WayStatus status;
  const char* message;
} ChartRefusal;
/// The same for `n` texts.
void expect_all_refused(const ChartRefusal* list, size_t n);
/// Whether two charts are written alike, and unroll alike.
bool chart_equal(const WayChart* a, const WayChart* b);
/// The form as played: `D F#m | G>3`; bars divided by `|`, each chord with its beats
/// where they are not the whole bar: `Em:3 A7:1`.  To be freed with free().
char* played(const WayChart* chart);

#endif
