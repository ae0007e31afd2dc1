#include "chart_text.h"

#include "chart/chart_read.h"
#include "chart/chart_walk.h"
#include "check.h"
#include "theory/chord_write.h"

#include <stdio.h>
#include <stdlib.h>

WayChart* chart_of(const char* text) {
  WayChart* chart = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  if (way_chart_read(way_text(text), &chart, &e))
    fail_msg("%s\nis refused at %u:%u: %s", text, e.line, e.column, e.message);
  return chart;
}

void expect_refused(const char* text, WayStatus status, uint32_t line, uint32_t column,
                    const char* message) {
  WayChart* chart = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  const WayStatus got = way_chart_read(way_text(text), &chart, &e);
  if (got == WAY_OK) fail_msg("%s\nis not refused", text);
  WayCursor place = way_cursor(way_text(text));
  while (place.byte < e.byte) way_cursor_next(&place);
  const bool same = place.line == e.line && place.column == e.column &&
                    place.byte == e.byte && got == status && e.status == status &&
                    e.line == line && e.column == column && e.message[0] &&
                    (!message || !strcmp(e.message, message));
  if (!same)
    fail_msg("%s\nis refused at %u:%u (%s): %s", text, e.line, e.column,
             way_strerror(got), e.message);
  assert_null(chart);
}

void expect_all_refused(const ChartRefusal* list, size_t n) {
  for (size_t i = 0; i < n; ++i)
    expect_refused(list[i].text, list[i].status, list[i].line, list[i].column,
                   list[i].message);
}

static bool slot_equal(const WayChartSlot* a, const WayChartSlot* b) {
  const bool same_chord = way_chord_is_none(&a->chord)
                              ? way_chord_is_none(&b->chord)
                              : way_chord_equal(&a->chord, &b->chord);
  return a->kind == b->kind && same_chord && !strcmp(a->text, b->text) &&
         a->shares == b->shares && a->target.number == b->target.number &&
         a->target.alter == b->target.alter;
}

static bool bar_equal(const WayChartBar* a, const WayChartBar* b) {
  return a->first_slot == b->first_slot && a->source == b->source &&
         a->n_slots == b->n_slots && a->endings == b->endings &&
         a->repeat_open == b->repeat_open && a->repeat_close == b->repeat_close;
}

static bool section_equal(const WayChartSection* a, const WayChartSection* b) {
  return !strcmp(a->name, b->name) && a->first_bar == b->first_bar &&
         a->n_bars == b->n_bars && way_key_equal(a->key, b->key) &&
         way_metre_equal(a->metre, b->metre) && a->key_given == b->key_given &&
         a->metre_given == b->metre_given;
}

static bool head_equal(const WayChart* a, const WayChart* b) {
  return !strcmp(a->title, b->title) && way_key_equal(a->key, b->key) &&
         way_metre_equal(a->metre, b->metre) && a->tempo == b->tempo &&
         a->key_given == b->key_given && a->metre_given == b->metre_given &&
         a->tempo_given == b->tempo_given && a->n_sections == b->n_sections &&
         a->n_bars == b->n_bars && a->n_slots == b->n_slots && a->n_form == b->n_form &&
         !a->form == !b->form;
}

bool chart_equal(const WayChart* a, const WayChart* b) {
  if (!head_equal(a, b)) return false;
  for (uint32_t i = 0; i < a->n_sections; ++i)
    if (!section_equal(&a->sections[i], &b->sections[i])) return false;
  for (uint32_t i = 0; i < a->n_bars; ++i)
    if (!bar_equal(&a->bars[i], &b->bars[i])) return false;
  for (uint32_t i = 0; i < a->n_slots; ++i)
    if (!slot_equal(&a->slots[i], &b->slots[i])) return false;
  return !a->form || !memcmp(a->form, b->form, a->n_form * sizeof(*a->form));
}

typedef struct {
  const WayChart* chart;
  char* text;
  size_t size;
} Page;

#define PAGE_MAX ((size_t)1 << 20)

static void add(Page* p, const char* format, ...) __attribute__((format(printf, 2, 3)));
static void add(Page* p, const char* format, ...) {
  va_list more;
  va_start(more, format);
  p->size += (size_t)vsnprintf(p->text + p->size, PAGE_MAX - p->size, format, more);
  va_end(more);
  assert_true(p->size < PAGE_MAX);
}

static void add_beats(Page* p, WayTick length, WayTick beat) {
  WayTick down = 1;
  while (down < 64 && length * down % beat) ++down;
  add(p, ":%lld", (long long)((length * down + beat / 2) / beat));
  if (down > 1) add(p, "/%lld", (long long)down);
}

static bool add_bar(void* to, uint32_t section, uint32_t bar) {
  Page* const p = to;
  const WayMetre metre = p->chart->sections[section].metre;
  WayTick starts[WAY_CHART_SHARES_MAX + 1];
  const WayChartBar* const b = way_chart_bar_starts(p->chart, bar, metre, starts);
  if (p->size) add(p, " |");
  for (uint32_t i = 0; i < b->n_slots; ++i) {
    const WayChartSlot* const s = &p->chart->slots[b->first_slot + i];
    char symbol[WAY_SYMBOL_MAX], target[WAY_SPELLING_MAX];
    WayOut out = way_out(symbol, sizeof(symbol));
    way_chord_write(&s->chord, &out);
    add(p, "%s%s", p->size ? " " : "", symbol);
    out = way_out(target, sizeof(target));
    if (s->target.number) {
      way_degree_write(s->target, &out);
      add(p, ">%s", target);
    }
    if (b->n_slots > 1) add_beats(p, starts[i + 1] - starts[i], way_metre_beat(metre));
  }
  return true;
}

char* played(const WayChart* chart) {
  Page p = {chart, malloc(PAGE_MAX), 0};
  assert_non_null(p.text);
  p.text[0] = '\0';
  way_chart_walk(chart, add_bar, &p);
  return p.text;
}
