// `waymark chart`: what a chart comes to, bar by bar.
#include "chart/chart_key.h"
#include "chart/chart_transpose.h"
#include "chart/chart_unroll.h"
#include "chart/chart_walk.h"
#include "chart/chart_write.h"
#include "cli/load.h"
#include "cli/words.h"
#include "live/settings.h"
#include "take/bars.h"
#include "take/chart_from.h"
#include "theory/chord_write.h"
#include "theory/function.h"
#include "theory/numeral_write.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { OPT_FROM, OPT_CHORD_TRACK, OPT_START_BAR, OPT_TRANSPOSE, OPT_TEXT, OPT_JSON };

static const WayOption options[] = {
    {"from", 0, "FILE.mid", "Write down the chart that a MIDI file brings (-: stdin)"},
    {"chord-track", 0, "N|NAME", "With --from: its chords are this track's notes"},
    {"start-bar", 0, "N", "With --from: bar of the file where the chart begins (1)"},
    {"transpose", 0, "N|KEY", "Move it by N semitones, or into KEY"},
    {"text", 0, NULL, "Write it back as chart text"},
    {"json", 'j', NULL, "Print JSON"},
    {0},
};

/// One chord of the form as it is played.
typedef struct {
  const WayChartSlot* slot;
  WayDegree target; ///< Planned as it arrives; number 0 if none
  WayKey key;
  uint32_t bar;     ///< From 0
  uint8_t shares;   ///< Of its bar, as written
  double at, beats; ///< In beats of the metre, from the chart's start
} Chord;

/// The whole form.
typedef struct {
  const WayChart* chart;
  const WayTimeline* t;
  WayKeyFinding found;
  Chord* chords;
  uint32_t n;
  uint32_t bar;
  double beats; ///< Of all bars
} Form;

static bool add_bar(void* to, uint32_t section, uint32_t bar) {
  Form* const f = to;
  const WayMetre metre = f->chart->sections[section].metre;
  const WayTick top = f->t->bars[f->bar].start;
  WayTick starts[WAY_CHART_SHARES_MAX + 1];
  const WayChartBar* const b = way_chart_bar_starts(f->chart, bar, metre, starts);
  const double beat = (double)way_metre_beat(metre);
  for (uint32_t i = 0; i < b->n_slots; ++i) {
    const WayChartSlot* const slot = &f->chart->slots[b->first_slot + i];
    Chord* const c = &f->chords[f->n++];
    *c = (Chord){.slot = slot, .bar = f->bar, .shares = slot->shares};
    const uint32_t span = way_timeline_at(f->t, top + starts[i]).span;
    c->key = way_timeline_harmony(f->t, span)->key;
    if (f->t->spans[span].start == top + starts[i])
      c->target = f->t->spans[span].target;
    c->at = f->beats + (double)starts[i] / beat;
    c->beats = (double)(starts[i + 1] - starts[i]) / beat;
  }
  f->beats += metre.beats;
  ++f->bar;
  return true;
}

/// The chord that follows chord `i`, at the end the first; NULL for silence.
static const WayChord* following(const Form* f, uint32_t i) {
  const WayChord* const c = &f->chords[(i + 1) % f->n].slot->chord;
  return way_chord_is_none(c) ? NULL : c;
}

static const char* numeral_of(const Form* f, uint32_t i, char* text) {
  const Chord* const c = &f->chords[i];
  WayOut out = way_out(text, WAY_NUMERAL_MAX);
  way_numeral_write(&c->slot->chord, following(f, i), c->key, &out);
  return text;
}

static const char* function_of(const Form* f, uint32_t i) {
  const Chord* const c = &f->chords[i];
  return way_function_name(way_function(&c->slot->chord, following(f, i), c->key));
}

static const char* symbol_of(const Chord* c, char* text) {
  WayOut out = way_out(text, WAY_SYMBOL_MAX);
  way_chord_write(&c->slot->chord, &out);
  return text;
}

static const char* key_text(WayKey key, char* text) {
  WayOut out = way_out(text, WAY_NAME_MAX);
  way_key_write(key, &out);
  return text;
}

/// Whether chord `i` begins a section, or a part in another key.
static bool begins_part(const Form* f, uint32_t i) {
  if (!i) return true;
  const Chord *c = &f->chords[i], *before = c - 1;
  return f->t->bars[c->bar].section != f->t->bars[before->bar].section ||
         !way_key_equal(c->key, before->key);
}

static const char* section_name(const Form* f, const Chord* c) {
  return f->t->sections[f->t->bars[c->bar].section].name;
}

// Text ------------------------------------------------------------------------------

/// Pad with blanks to a width in characters, at least one.
static void pad(const char* text, int width) {
  int n = 0;
  for (const char* at = text; *at; ++at) n += ((uint8_t)*at & 0xC0) != 0x80;
  printf("%s%*s", text, n < width ? width - n : 1, "");
}

#define CELL_MAX 4096u
#define SYMBOLS_WIDTH 24
#define NUMERALS_WIDTH 20

static void print_bar(const Form* f, uint32_t first, uint32_t n) {
  char cells[3][CELL_MAX], text[WAY_NUMERAL_MAX], target[WAY_SPELLING_MAX];
  WayOut outs[3];
  for (int i = 0; i < 3; ++i) outs[i] = way_out(cells[i], CELL_MAX);
  for (uint32_t i = first; i < first + n; ++i) {
    const Chord* const c = &f->chords[i];
    if (i > first) {
      way_out_str(&outs[0], " ");
      way_out_str(&outs[1], " ");
      way_out_str(&outs[2], ", ");
    }
    way_out_str(&outs[0], symbol_of(c, text));
    if (c->target.number) {
      way_out_str(&outs[0], ">");
      way_out_str(&outs[0], way_cli_degree(target, c->target));
    }
    way_out_str(&outs[1], numeral_of(f, i, text));
    way_out_str(&outs[2], function_of(f, i));
    for (uint8_t share = 1; share < c->shares; ++share) {
      way_out_str(&outs[0], " /");
      way_out_str(&outs[1], " /");
    }
  }
  printf("%5u  ", f->chords[first].bar + 1);
  pad(cells[0], SYMBOLS_WIDTH);
  pad(cells[1], NUMERALS_WIDTH);
  puts(cells[2]);
}

static void print_head(const Form* f) {
  const WayChart* const c = f->chart;
  char key[WAY_NAME_MAX], other[WAY_NAME_MAX];
  if (c->title[0]) printf("%s\n", c->title);
  printf("%s", key_text(c->key, key));
  if (!c->key_given)
    printf(" (found, %.0f %% sure; next %s, %.0f %%)",
           100 * (double)f->found.best.confidence,
           key_text(f->found.runner_up.key, other),
           100 * (double)f->found.runner_up.confidence);
  printf(", %u/%u, %g quarter notes a minute, %u %s\n", c->metre.beats, c->metre.unit,
         c->tempo, f->t->n_bars, f->t->n_bars == 1 ? "bar" : "bars");
}

/// A heading where a section begins, or the key changes.
static void print_part(const Form* f, uint32_t i) {
  char key[WAY_NAME_MAX];
  const Chord* const c = &f->chords[i];
  const char* const name = section_name(f, c);
  const WayMetre metre = f->t->bars[c->bar].metre;
  const bool section =
      !i || f->t->bars[c->bar].section != f->t->bars[c[-1].bar].section;
  if (!section) {
    printf("      %s\n", key_text(c->key, key));
    return;
  }
  if (!name[0]) {
    putchar('\n');
    return;
  }
  printf("\n[%s] %s", name, key_text(c->key, key));
  if (!way_metre_equal(metre, f->chart->metre))
    printf(", %u/%u", metre.beats, metre.unit);
  putchar('\n');
}

static void print_form(const Form* f) {
  print_head(f);
  for (uint32_t i = 0; i < f->n;) {
    uint32_t n = 1; // chords of the bar, up to a change of key
    while (i + n < f->n && f->chords[i + n].bar == f->chords[i].bar &&
           !begins_part(f, i + n))
      ++n;
    if (begins_part(f, i)) print_part(f, i);
    print_bar(f, i, n);
    i += n;
  }
}

// JSON ------------------------------------------------------------------------------

static json_t* key_json(WayKey key) {
  char tonic[WAY_SPELLING_MAX];
  return json_pack("{s:s, s:s}", "tonic", way_cli_note(tonic, key.tonic), "mode",
                   way_mode_name(key.mode));
}

static json_t* guess_json(WayKey key, double confidence) {
  json_t* const o = key_json(key);
  json_object_set_new(o, "confidence", json_real(round(confidence * 1e4) / 1e4));
  return o;
}

/// The key and its runner-up: of a given key, the other that the chords speak for most.
static json_t* finding_json(const Form* f) {
  const WayChart* const c = f->chart;
  const WayKeyGuess* next = &f->found.runner_up;
  if (c->key_given && !way_key_equal(f->found.best.key, c->key)) next = &f->found.best;
  json_t* const o =
      guess_json(c->key, c->key_given ? 1 : (double)f->found.best.confidence);
  json_object_set_new(o, "given", json_boolean(c->key_given));
  json_object_set_new(o, "runner_up", guess_json(next->key, (double)next->confidence));
  return o;
}

static json_t* chord_json(const Form* f, uint32_t i) {
  const Chord* const c = &f->chords[i];
  char text[WAY_NUMERAL_MAX], symbol[WAY_SYMBOL_MAX];
  json_t* const o =
      json_pack("{s:s, s:s, s:s, s:i, s:f, s:f}", "symbol", symbol_of(c, symbol),
                "numeral", numeral_of(f, i, text), "function", function_of(f, i), "bar",
                (int)c->bar + 1, "start_beat", c->at, "beats", c->beats);
  if (c->target.number)
    json_object_set_new(o, "target", json_string(way_cli_degree(text, c->target)));
  return o;
}

/// The part that begins with chord `i`.
static json_t* part_json(const Form* f, uint32_t i) {
  const Chord* const c = &f->chords[i];
  uint32_t last = i;
  while (last + 1 < f->n && !begins_part(f, last + 1)) ++last;
  json_t* const o = json_pack("{s:s, s:i, s:f, s:f}", "name", section_name(f, c), "bar",
                              (int)c->bar + 1, "start_beat", c->at, "beats",
                              f->chords[last].at + f->chords[last].beats - c->at);
  json_object_set_new(o, "key", key_json(c->key));
  return o;
}

static WayExit print_json(const Form* f) {
  const WayChart* const c = f->chart;
  WayJson j = {0};
  way_json_open(&j, NULL, '{');
  way_json_put(&j, "title", json_string(c->title));
  way_json_put(&j, "key", finding_json(f));
  way_json_put(&j, "metre",
               json_pack("{s:i, s:i}", "beats", c->metre.beats, "unit", c->metre.unit));
  way_json_put(&j, "tempo", json_real(c->tempo));
  way_json_put(&j, "bars", json_integer(f->t->n_bars));
  way_json_put(&j, "beats", json_real(f->beats));
  way_json_open(&j, "sections", '[');
  for (uint32_t i = 0; i < f->n; ++i)
    if (begins_part(f, i)) way_json_put(&j, NULL, part_json(f, i));
  way_json_close(&j, ']');
  way_json_open(&j, "chords", '[');
  for (uint32_t i = 0; i < f->n; ++i) way_json_put(&j, NULL, chord_json(f, i));
  way_json_close(&j, ']');
  way_json_close(&j, '}');
  return way_json_end(&j);
}

// The command -----------------------------------------------------------------------

/// Read `--transpose`: whole semitones, a note, or a key in the chart's mode.
static WayExit transpose_option(const WayArgs* args, const WayChart* chart,
                                WaySpelling* tonic) {
  const char* const text = args->value[OPT_TRANSPOSE];
  char* end;
  const long semitones = strtol(text, &end, 10);
  if (end != text && !*end && semitones >= -99 && semitones <= 99) {
    *tonic = way_chart_tonic_moved(chart->key, (int)semitones);
    return WAY_EXIT_OK;
  }
  WayCursor c = way_cursor(way_text(text));
  if (!way_spelling_read(&c, tonic, NULL) && c.byte == c.text.size) return WAY_EXIT_OK;
  WayKey key;
  if (way_key_read(way_text(text), &key, NULL))
    return way_cli_usage(args,
                         "--transpose: expected semitones from -99 to 99 or a key such "
                         "as Bb, not '%s'",
                         text);
  if (key.mode != chart->key.mode)
    return way_cli_usage(args,
                         "--transpose: expected a %s key like the chart's, not '%s'",
                         way_mode_name(chart->key.mode), text);
  *tonic = key.tonic;
  return WAY_EXIT_OK;
}

static WayExit transpose(const WayArgs* args, const char* file, WayChart** chart) {
  WaySpelling tonic;
  const WayExit end = transpose_option(args, *chart, &tonic);
  if (end) return end;
  WayChart* moved = NULL;
  const WayStatus st = way_chart_transpose(*chart, tonic, &moved);
  if (st) return way_cli_failed(file, "%s", way_strerror(st));
  way_chart_free(*chart);
  *chart = moved;
  return WAY_EXIT_OK;
}

static WayExit print_text(const char* file, const WayChart* chart) {
  char* text = NULL;
  const WayStatus st = way_chart_write(chart, &text);
  if (st) return way_cli_failed(file, "%s", way_strerror(st));
  fputs(text, stdout);
  free(text);
  return WAY_EXIT_OK;
}

static WayStatus form_make(const WayChart* chart, WayTimeline** t, Form* f) {
  *f = (Form){.chart = chart};
  WayChartSize size;
  WayStatus st = way_chart_size(chart, &size);
  if (!st) st = way_chart_key_find(chart, &f->found);
  if (!st) st = way_chart_unroll(chart, t);
  if (st) return st;
  f->t = *t;
  f->chords = malloc(size.chords * sizeof(*f->chords));
  if (!f->chords) return WAY_ERR_NO_MEMORY;
  way_chart_walk(chart, add_bar, f);
  return WAY_OK;
}

static WayExit print_chart(const WayArgs* args, const char* file,
                           const WayChart* chart) {
  WayTimeline* t = NULL;
  Form f;
  const WayStatus st = form_make(chart, &t, &f);
  WayExit end = WAY_EXIT_OK;
  if (st)
    end = way_cli_failed(file, "%s", way_strerror(st));
  else if (args->value[OPT_JSON])
    end = print_json(&f);
  else
    print_form(&f);
  free(f.chords);
  way_timeline_free(t);
  return end;
}

// Charts from MIDI files
// ---------------------------------------------------------------

static WayStatus hear(const WayArgs* args, const WaySmf* smf, WayHeard* heard,
                      WayError* error) {
  if (!args->value[OPT_CHORD_TRACK]) return way_chart_from_heard(smf, heard, error);
  WayTakeChoice track = {-1, NULL, 0};
  way_cli_track(args, OPT_CHORD_TRACK, &track);
  return way_heard_track(smf, &track, heard, error);
}

static WayExit write_down(const WayArgs* args, WayChart** chart) {
  const char* const path = args->value[OPT_FROM];
  int start_bar = 1;
  WayExit end = way_cli_int(args, OPT_START_BAR, 1, WAY_START_BAR_MAX, &start_bar);
  WayMidiFile midi;
  if (!end) end = way_cli_midi(path, &midi);
  if (end) return end;
  WayHeard heard = {0, NULL};
  WayTick origin = 0;
  WayError error = {.status = WAY_OK};
  end = way_cli_start(path, midi.smf, start_bar, (WayMetre){4, 4}, &origin);
  WayStatus st = WAY_OK;
  if (!end) st = hear(args, midi.smf, &heard, &error);
  if (!end && !st) st = way_chart_from(midi.smf, &heard, origin, chart, &error);
  if (st) end = way_cli_failed(path, "%s", error.message);
  free(heard.chords);
  way_cli_free_midi(&midi);
  return end;
}

static WayExit read_chart(const WayArgs* args, WayChart** chart) {
  const bool from = args->value[OPT_FROM];
  if (from == (args->n == 1))
    return way_cli_usage(args, "expected either a chart or --from FILE.mid");
  static const unsigned file[] = {OPT_FROM};
  if (way_cli_needs(args, OPT_CHORD_TRACK, file, 1) ||
      way_cli_needs(args, OPT_START_BAR, file, 1))
    return WAY_EXIT_USAGE;
  static const unsigned json[] = {OPT_JSON};
  if (way_cli_excludes(args, OPT_TEXT, json, 1)) return WAY_EXIT_USAGE;
  return from ? write_down(args, chart) : way_cli_chart(args->words[0], chart);
}

static WayExit run(const WayArgs* args) {
  const char* const file = args->n ? args->words[0] : args->value[OPT_FROM];
  const bool text =
      args->value[OPT_TEXT] || (args->value[OPT_FROM] && !args->value[OPT_JSON]);
  WayChart* chart = NULL;
  WayExit end = read_chart(args, &chart);
  if (!end && chart && args->value[OPT_TRANSPOSE]) end = transpose(args, file, &chart);
  if (!end) end = text ? print_text(file, chart) : print_chart(args, file, chart);
  way_chart_free(chart);
  return end;
}

const WayCommand way_cmd_chart = {
    "chart",
    "FILE|-",
    "Show a chart as it is played: bars with chords, numerals and functions",
    "Numerals are told in the key of their section.  docs/chart-format.md describes "
    "how\n"
    "charts are written.  --from takes a MIDI file in place of FILE and writes chart\n"
    "text; docs/teacher.md tells how chords are found there.\n",
    options,
    0,
    1,
    run};
