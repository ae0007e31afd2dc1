#include "chart/chart_write.h"

#include "base/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BARS_IN_LINE 4u

/// Text that grows.
typedef struct {
  char* at;
  size_t size, room;
  bool failed; ///< Memory ran out; nothing is added any more
} Page;

static void put(Page* p, const char* string) {
  const size_t n = strlen(string);
  if (p->failed) return;
  if (p->room - p->size <= n) {
    const size_t more = 2 * p->room + n + 256;
    char* const grown = realloc(p->at, more);
    p->failed = !grown;
    if (!grown) return;
    p->at = grown;
    p->room = more;
  }
  memcpy(p->at + p->size, string, n + 1);
  p->size += n;
}

static void put_int(Page* p, int64_t value) {
  char text[24];
  WayOut out = way_out(text, sizeof(text));
  way_out_int(&out, value);
  put(p, text);
}

static void put_header(Page* p, const char* name, const char* value) {
  put(p, name);
  put(p, ": ");
  put(p, value);
  put(p, "\n");
}

static void put_key(Page* p, WayKey key) {
  char text[WAY_NAME_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_key_write(key, &out);
  put_header(p, "key", text);
}

static void put_metre(Page* p, WayMetre metre) {
  put(p, "time: ");
  put_int(p, metre.beats);
  put(p, "/");
  put_int(p, metre.unit);
  put(p, "\n");
}

static void put_tempo(Page* p, double tempo) {
  char text[32];
  WayOut out = way_out(text, sizeof(text));
  const int64_t thousandths = llround(tempo * 1000);
  way_out_int(&out, thousandths / 1000);
  int64_t rest = thousandths % 1000;
  if (rest) way_out_char(&out, '.');
  for (; rest; rest = rest * 10 % 1000) way_out_int(&out, rest / 100);
  put_header(p, "tempo", text);
}

static void put_form(Page* p, const WayChart* c) {
  put(p, "form:");
  for (uint32_t i = 0; i < c->n_form; ++i) {
    const char* const name = c->sections[c->form[i]].name;
    const bool brackets = strpbrk(name, " \t\r") != NULL;
    put(p, brackets ? " [" : " ");
    put(p, name);
    if (brackets) put(p, "]");
  }
  put(p, "\n");
}

static void put_slot(Page* p, const WayChartSlot* slot) {
  put(p, " ");
  put(p, slot->text);
  if (slot->target.number) {
    char text[WAY_SPELLING_MAX];
    WayOut out = way_out(text, sizeof(text));
    way_degree_write(slot->target, &out);
    put(p, ">");
    put(p, text);
  }
  for (unsigned i = 1; i < slot->shares; ++i) put(p, " /");
}

static void put_endings(Page* p, unsigned endings) {
  if (endings) put(p, " ");
  for (unsigned n = 1; endings >> (n - 1); ++n) {
    if (!(endings >> (n - 1) & 1u)) continue;
    put_int(p, n);
    put(p, ".");
  }
}

/// Write a bar with the bar line before it; `closed` tells that the bar before closes.
static void put_bar(Page* p, const WayChart* c, const WayChartBar* bar,
                    bool starts_line, bool closed) {
  put(p, starts_line ? "|" : closed ? " :|" : " |");
  if (bar->repeat_open) put(p, ":");
  put_endings(p, bar->endings);
  for (uint32_t i = 0; i < bar->n_slots; ++i)
    put_slot(p, &c->slots[bar->first_slot + i]);
}

/// Whether the next bar of a section starts a line; `in_line` starts as 0.
static bool starts_line(const WayChartBar* bar, uint32_t* in_line) {
  const bool starts = *in_line % BARS_IN_LINE == 0 || bar->repeat_open;
  *in_line = starts ? 1 : *in_line + 1;
  return starts;
}

static void put_bars(Page* p, const WayChart* c, const WayChartSection* s) {
  uint32_t in_line = 0;
  bool closed = false;
  for (uint32_t i = 0; i < s->n_bars; ++i) {
    const WayChartBar* const bar = &c->bars[s->first_bar + i];
    const bool starts = starts_line(bar, &in_line);
    if (i && starts) put(p, closed ? " :|\n" : " |\n");
    put_bar(p, c, bar, starts, closed);
    closed = bar->repeat_close;
  }
  put(p, closed ? " :|\n" : " |\n");
}

static void put_section(Page* p, const WayChart* c, const WayChartSection* s) {
  if (p->size) put(p, "\n");
  if (s->name[0]) {
    put(p, "[");
    put(p, s->name);
    put(p, "]\n");
  }
  if (s->key_given) put_key(p, s->key);
  if (s->metre_given) put_metre(p, s->metre);
  put_bars(p, c, s);
}

WayStatus way_chart_write(const WayChart* chart, char** out) {
  Page p = {NULL, 0, 0, false};
  if (chart->title[0]) put_header(&p, "title", chart->title);
  if (chart->key_given) put_key(&p, chart->key);
  if (chart->metre_given) put_metre(&p, chart->metre);
  if (chart->tempo_given) put_tempo(&p, chart->tempo);
  if (chart->form) put_form(&p, chart);
  for (uint32_t i = 0; i < chart->n_sections; ++i)
    put_section(&p, chart, &chart->sections[i]);
  if (p.failed) {
    free(p.at);
    return WAY_ERR_NO_MEMORY;
  }
  *out = p.at;
  return WAY_OK;
}

// Bars that repeat the one before.

/// Whether a slot is a chord as written, played alike; targets count if `targets`.
static bool slot_same(const WayChartSlot* a, const WayChartSlot* b, bool targets) {
  return a->kind == b->kind && a->shares == b->shares && !strcmp(a->text, b->text) &&
         (!targets ||
          (a->target.number == b->target.number && a->target.alter == b->target.alter));
}

/// Whether `%` in place of a bar plays the same.
static bool repeats(const WayChart* c, const WayChartBar* bar) {
  const WayChartBar* const source = &c->bars[bar[-1].source];
  if (bar->repeat_open || bar->endings || bar[-1].repeat_close) return false;
  if (bar->n_slots != source->n_slots) return false;
  const WayChartSlot* const a = &c->slots[source->first_slot];
  const WayChartSlot* const b = &c->slots[bar->first_slot];
  // A chord that rings on into its `%` is not planned for again.
  const bool rings_on = way_chord_equal(&a->chord, &a[source->n_slots - 1].chord);
  if (rings_on && b->target.number) return false;
  for (uint32_t i = 0; i < bar->n_slots; ++i)
    if (!slot_same(&a[i], &b[i], i || !rings_on)) return false;
  return true;
}

/// Let a bar's slots stand at the end of those kept so far.
static void keep_slots(WayChart* c, WayChartBar* bar, uint32_t* kept) {
  memmove(&c->slots[*kept], &c->slots[bar->first_slot],
          bar->n_slots * sizeof(*c->slots));
  bar->first_slot = *kept;
  *kept += bar->n_slots;
}

void way_chart_abbreviate(WayChart* chart) {
  uint32_t kept = 0;
  for (uint32_t k = 0; k < chart->n_sections; ++k) {
    const WayChartSection* const s = &chart->sections[k];
    uint32_t in_line = 0;
    for (uint32_t i = 0; i < s->n_bars; ++i) {
      WayChartBar* const bar = &chart->bars[s->first_bar + i];
      const bool starts = starts_line(bar, &in_line);
      WayChartSlot* const first = &chart->slots[bar->first_slot];
      if (!starts && repeats(chart, bar)) {
        *first = (WayChartSlot){.kind = WAY_SLOT_REPEAT, .text = "%", .shares = 1};
        bar->n_slots = 1;
      }
      if (first->kind == WAY_SLOT_REPEAT) bar->source = bar[-1].source;
      keep_slots(chart, bar, &kept);
    }
  }
  chart->n_slots = kept;
}
