#include "take/figures.h"

#include <string.h>

const char* way_figure_name(WayFigure figure) {
  static const char* const names[WAY_FIGURE_COUNT] = {
      "seconds",     "bars",         "notes",    "chord_tones", "scale_tones",
      "chromatic",   "basic",        "landings", "landed",      "landed_basic",
      "early",       "on_time",      "late",     "held_over",   "in_rest",
      "targets",     "targets_met",  "tensions", "resolved",    "stepped",
      "timing_mean", "timing_spread"};
  return names[figure];
}

typedef struct {
  const char* label;
  WayFigure part;
  int whole; // a #WayFigure, or -1: the part stands for itself
  bool share;
  unsigned published; // percent; 0: unknown
} MeasureRow;

static const MeasureRow measures[WAY_MEASURE_COUNT] = {
    [WAY_MEASURE_DENSITY] = {"notes a bar", WAY_FIGURE_NOTES, WAY_FIGURE_BARS, false,
                             0},
    [WAY_MEASURE_BASIC] = {"notes on basic chord tones", WAY_FIGURE_BASIC,
                           WAY_FIGURE_NOTES, true, WAY_PUBLISHED_BASIC},
    [WAY_MEASURE_LANDED] = {"landings on basic chord tones", WAY_FIGURE_LANDED_BASIC,
                            WAY_FIGURE_LANDED, true, WAY_PUBLISHED_LANDED},
    [WAY_MEASURE_ARRIVED] = {"chords met on time", WAY_FIGURE_ON_TIME,
                             WAY_FIGURE_LANDINGS, true, 0},
    [WAY_MEASURE_TARGETS] = {"planned landings met", WAY_FIGURE_TARGETS_MET,
                             WAY_FIGURE_TARGETS, true, 0},
    [WAY_MEASURE_RESOLVED] = {"tensions that resolve", WAY_FIGURE_RESOLVED,
                              WAY_FIGURE_TENSIONS, true, 0},
    [WAY_MEASURE_SPREAD] = {"spread of onsets, beats", WAY_FIGURE_TIMING_SPREAD, -1,
                            false, 0},
};

const char* way_measure_label(WayMeasure measure) { return measures[measure].label; }

bool way_measure_is_share(WayMeasure measure) { return measures[measure].share; }

double way_measure_published(WayMeasure measure) {
  return measures[measure].published / 100.0;
}

bool way_measure(const WayLogTake* take, WayMeasure measure, double* out) {
  const MeasureRow* const m = &measures[measure];
  const double whole = m->whole < 0 ? 1 : take->figures[m->whole];
  if (!(whole > 0)) return false;
  *out = take->figures[m->part] / whole;
  return true;
}

/// FNV-1a (Fowler, Noll, Vo), 64 bits.
static uint64_t mix(uint64_t hash, uint64_t value) {
  for (int i = 0; i < 8; ++i, value >>= 8)
    hash = (hash ^ (value & 0xFF)) * 0x100000001B3u;
  return hash;
}

static int64_t fingerprint(const WayTake* take, const char* tune) {
  uint64_t hash = 0xCBF29CE484222325u;
  for (; *tune; ++tune) hash = mix(hash, (unsigned char)*tune);
  for (uint32_t i = 0; i < take->n; ++i) {
    const WayNote* const n = &take->notes[i];
    hash = mix(hash, (uint64_t)n->start);
    hash = mix(hash, (uint64_t)n->length);
    hash = mix(hash, (uint64_t)n->pitch << 8 | n->velocity);
  }
  return (int64_t)(hash >> 1);
}

static uint64_t bars_of(const WayReview* r) {
  WayTick end = 0;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayTick stop = way_review_onset(r, i) + r->take->notes[i].length;
    if (stop > end) end = stop;
  }
  if (end <= 0) return 0;
  const WayPlace p = way_timeline_at(r->timeline, end - 1);
  return (uint64_t)p.chorus * r->timeline->n_bars + p.bar + 1;
}

static void copy_text(char* to, size_t room, const char* text) {
  WayOut out = way_out(to, room);
  way_out_str(&out, text);
}

WayLogTake way_figures(const WayReview* r, double seconds, const char* tune,
                       const char* name) {
  const WayReviewTotals* const t = &r->totals;
  const double beat = (double)way_review_beat(r->timeline);
  WayLogTake out = {.fingerprint = fingerprint(r->take, tune),
                    .figures = {
                        [WAY_FIGURE_SECONDS] = seconds,
                        [WAY_FIGURE_BARS] = (double)bars_of(r),
                        [WAY_FIGURE_NOTES] = r->take->n,
                        [WAY_FIGURE_CHORD_TONES] = t->roles[WAY_ROLE_CHORD],
                        [WAY_FIGURE_SCALE_TONES] = t->roles[WAY_ROLE_SCALE],
                        [WAY_FIGURE_CHROMATIC] = t->roles[WAY_ROLE_CHROMATIC],
                        [WAY_FIGURE_BASIC] = t->basic,
                        [WAY_FIGURE_LANDINGS] = r->n_landings,
                        [WAY_FIGURE_LANDED] = t->landed,
                        [WAY_FIGURE_LANDED_BASIC] = t->landed_basic,
                        [WAY_FIGURE_EARLY] = t->arrivals[WAY_ARRIVAL_EARLY],
                        [WAY_FIGURE_ON_TIME] = t->arrivals[WAY_ARRIVAL_ON_TIME],
                        [WAY_FIGURE_LATE] = t->arrivals[WAY_ARRIVAL_LATE],
                        [WAY_FIGURE_HELD_OVER] = t->arrivals[WAY_ARRIVAL_HELD],
                        [WAY_FIGURE_IN_REST] = t->arrivals[WAY_ARRIVAL_NONE],
                        [WAY_FIGURE_TARGETS] = t->targets,
                        [WAY_FIGURE_TARGETS_MET] = t->targets_met,
                        [WAY_FIGURE_TENSIONS] = t->tensions,
                        [WAY_FIGURE_RESOLVED] = t->resolved,
                        [WAY_FIGURE_STEPPED] = t->stepped,
                        [WAY_FIGURE_TIMING_MEAN] = t->timing_mean / beat,
                        [WAY_FIGURE_TIMING_SPREAD] = t->timing_spread / beat,
                    }};
  WayOut key = way_out(out.key, sizeof(out.key));
  way_key_write(r->timeline->key, &key);
  copy_text(out.tune, sizeof(out.tune), tune);
  const char* const slash = strrchr(name, '/');
  copy_text(out.take, sizeof(out.take), slash ? slash + 1 : name);
  return out;
}

// ---- Days.

static int number(const char* text, int n) {
  int value = 0;
  for (int i = 0; i < n; ++i) {
    if (text[i] < '0' || text[i] > '9') return -1;
    value = 10 * value + text[i] - '0';
  }
  return value;
}

static bool leap_year(int y) { return (y % 4 == 0 && y % 100 != 0) || y % 400 == 0; }

bool way_day_valid(const char* text) {
  static const int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  if (strlen(text) != WAY_DAY_MAX - 1 || text[4] != '-' || text[7] != '-') return false;
  const int y = number(text, 4), m = number(text + 5, 2), d = number(text + 8, 2);
  if (y < 1 || m < 1 || m > 12 || d < 1) return false;
  return d <= lengths[m - 1] + (m == 2 && leap_year(y));
}

/// Days since the start of the Gregorian calendar's first year; 0 for no valid day.
static int64_t day_number(const char* day) {
  static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
  if (!way_day_valid(day)) return 0;
  const int y = number(day, 4), m = number(day + 5, 2), d = number(day + 8, 2);
  const int64_t years = y - 1;
  const int64_t leaps = years / 4 - years / 100 + years / 400;
  return 365 * years + leaps + before[m - 1] + (m > 2 && leap_year(y)) + d;
}

int64_t way_days_between(WayDay from, WayDay to) {
  return day_number(to.text) - day_number(from.text);
}

uint32_t way_days_in_a_row(const WayDay* days, uint32_t n, uint32_t* last) {
  uint32_t run = 0, longest = 0;
  for (uint32_t i = 0; i < n; ++i) {
    const int64_t step = i ? way_days_between(days[i - 1], days[i]) : 1;
    if (step == 1)
      ++run;
    else if (step)
      run = 1;
    if (run > longest) longest = run;
  }
  if (last) *last = run;
  return longest;
}
