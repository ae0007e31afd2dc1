#include "chart/chart_walk.h"

/// How often a repeat is played: as its endings are numbered, at least twice.
static unsigned passes_of(const WayChart* c, uint32_t top, uint32_t end) {
  unsigned endings = c->bars[top].endings;
  for (uint32_t i = top + 1; i < end && !c->bars[i].repeat_open; ++i)
    endings |= c->bars[i].endings;
  unsigned passes = 2;
  while (endings >> passes) ++passes;
  return passes;
}

/// The bar behind an ending.
static uint32_t past_ending(const WayChart* c, uint32_t bar, uint32_t end) {
  while (bar < end && !c->bars[bar].repeat_close) ++bar;
  return bar < end ? bar + 1 : end;
}

bool way_chart_walk_section(const WayChart* c, uint32_t section, WayChartVisit visit,
                            void* to) {
  const uint32_t first = c->sections[section].first_bar;
  const uint32_t end = first + c->sections[section].n_bars;
  uint32_t top = first; // of the repeat
  unsigned pass = 0, passes = 0;
  for (uint32_t bar = first; bar < end;) {
    const WayChartBar* const b = &c->bars[bar];
    if (b->repeat_open && (bar != top || !pass)) {
      top = bar;
      pass = 1;
      passes = passes_of(c, bar, end);
    }
    if (b->endings && !(b->endings >> (pass - 1) & 1u)) {
      bar = past_ending(c, bar, end);
      continue;
    }
    if (!visit(to, section, bar)) return false;
    const bool again = b->repeat_close && pass < passes;
    pass += again;
    bar = again ? top : bar + 1;
  }
  return true;
}

uint32_t way_chart_form_length(const WayChart* c) {
  return c->form ? c->n_form : c->n_sections;
}

uint32_t way_chart_form_section(const WayChart* c, uint32_t place) {
  return c->form ? c->form[place] : place;
}

bool way_chart_walk(const WayChart* chart, WayChartVisit visit, void* to) {
  for (uint32_t i = 0; i < way_chart_form_length(chart); ++i)
    if (!way_chart_walk_section(chart, way_chart_form_section(chart, i), visit, to))
      return false;
  return true;
}

/// Adds up the form.
typedef struct {
  const WayChart* chart;
  WayChartSize size;
} Count;

static bool count_bar(void* to, uint32_t section, uint32_t bar) {
  (void)section;
  Count* const n = to;
  n->size.chords += n->chart->bars[n->chart->bars[bar].source].n_slots;
  return ++n->size.bars <= WAY_CHART_UNROLLED_MAX &&
         n->size.chords <= WAY_CHART_UNROLLED_MAX;
}

WayStatus way_chart_size(const WayChart* chart, WayChartSize* out) {
  Count n = {chart, {way_chart_form_length(chart), 0, 0}};
  if (!way_chart_walk(chart, count_bar, &n)) return WAY_ERR_FULL;
  if (!n.size.sections || !n.size.bars || !n.size.chords) return WAY_ERR_RANGE;
  *out = n.size;
  return WAY_OK;
}

const WayChartBar* way_chart_bar_starts(const WayChart* chart, uint32_t bar,
                                        WayMetre metre, WayTick* starts) {
  const WayChartBar* const b = &chart->bars[chart->bars[bar].source];
  const WayChartSlot* const slots = &chart->slots[b->first_slot];
  WayTick all = 0, before = 0;
  for (uint32_t i = 0; i < b->n_slots; ++i) all += slots[i].shares;
  for (uint32_t i = 0; i < b->n_slots; ++i) {
    starts[i] = way_metre_bar(metre) * before / all;
    before += slots[i].shares;
  }
  starts[b->n_slots] = way_metre_bar(metre);
  return b;
}
