#include "chart/chart.h"

#include <stdlib.h>

void way_chart_free(WayChart* chart) {
  if (!chart) return;
  free(chart->sections);
  free(chart->bars);
  free(chart->slots);
  free(chart->form);
  free(chart);
}
