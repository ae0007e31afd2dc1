// `waymark line`: the guide-tone line of a chart.
#include "chart/chart_unroll.h"
#include "chart/targets.h"
#include "cli/load.h"
#include "cli/words.h"
#include "take/smf_write.h"
#include "theory/chord_write.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { OPT_RANGE_LOW, OPT_RANGE_HIGH, OPT_OUTPUT, OPT_JSON };

static const WayOption options[] = {
    {"range-low", 0, "NOTE", "The lowest key of the line (G3)"},
    {"range-high", 0, "NOTE", "The highest, 12 to 64 keys in all (G5)"},
    {"output", 'o', "FILE", "Also write the line as a MIDI file (- prints only that)"},
    {"json", 'j', NULL, "Print one JSON object"},
    {0},
};

/// A chart's line and all it was made from.
typedef struct {
  WayTimeline* t;
  uint8_t low, high;
  WayLineTone* tones; ///< One a span of the timeline
} Line;

static const WayChord* chord_at(const Line* line, uint32_t span) {
  return &way_timeline_harmony(line->t, span)->chord;
}

/// Length of a span in ticks.
static WayTick length_of(const Line* line, uint32_t i) {
  return way_timeline_span_end(line->t, i) - line->t->spans[i].start;
}

/// What the listing says of one tone.
typedef struct {
  unsigned bar;
  double beat; ///< In the bar, from 1
  double beats;
  char chord[WAY_SYMBOL_MAX], note[WAY_SPELLING_MAX + 4], degree[WAY_SPELLING_MAX];
} Row;

static Row row_of(const Line* line, uint32_t i) {
  const WayTick start = line->t->spans[i].start;
  const WayPlace place = way_timeline_at(line->t, start);
  const WayTick beat = way_metre_beat(line->t->bars[place.bar].metre);
  Row row = {.bar = place.bar + 1,
             .beat = 1 + (double)place.in_bar / (double)beat,
             .beats = (double)length_of(line, i) / (double)beat};
  const WayChord* const c = chord_at(line, i);
  WayOut chord = way_out(row.chord, sizeof(row.chord));
  way_chord_write(c, &chord);
  const WayLineTone* const tone = &line->tones[i];
  if (tone->pitch == WAY_LINE_SILENT) return row;
  const WaySpelling note = way_spelling_above(c->root, tone->degree);
  WayOut out = way_out(row.note, sizeof(row.note));
  way_spelling_write(note, &out);
  way_out_int(&out, (tone->pitch - note.alter) / 12 - 1);
  way_cli_degree(row.degree, tone->degree);
  return row;
}

static void print_line(const Line* line) {
  for (uint32_t i = 0; i < line->t->n_spans; ++i) {
    const Row row = row_of(line, i);
    const WayLineTone* const tone = &line->tones[i];
    printf("%u\t%g\t%s\t", row.bar, row.beat, row.chord);
    if (tone->pitch == WAY_LINE_SILENT)
      puts("\t\t\t");
    else
      printf("%s\t%u\t%s\t%s\n", row.note, tone->pitch, row.degree,
             tone->common ? "common" : "");
  }
}

static json_t* tone_json(const Line* line, uint32_t i) {
  const Row row = row_of(line, i);
  const WayLineTone* const tone = &line->tones[i];
  json_t* const o = json_pack("{s:s, s:i, s:f, s:f}", "chord", row.chord, "bar",
                              (int)row.bar, "beat", row.beat, "beats", row.beats);
  if (tone->pitch != WAY_LINE_SILENT)
    json_object_update_new(o, json_pack("{s:s, s:i, s:s, s:b, s:b}", "name", row.note,
                                        "midi", (int)tone->pitch, "degree", row.degree,
                                        "common", (int)tone->common, "target",
                                        line->t->spans[i].target.number != 0));
  return o;
}

static WayExit print_json(const Line* line) {
  WayJson j = {0};
  way_json_open(&j, NULL, '{');
  way_json_put(&j, "range",
               json_pack("{s:i, s:i}", "low", (int)line->low, "high", (int)line->high));
  way_json_open(&j, "tones", '[');
  for (uint32_t i = 0; i < line->t->n_spans; ++i)
    way_json_put(&j, NULL, tone_json(line, i));
  way_json_close(&j, ']');
  way_json_close(&j, '}');
  return way_json_end(&j);
}

/// Tempo and metres of the form.
static WayStatus add_form(const Line* line, WaySmf* smf) {
  const WayTimeline* const t = line->t;
  WayStatus st = way_smf_add_tempo(smf, 0, 0, t->tempo);
  for (uint32_t b = 0; !st && b < t->n_bars; ++b) {
    const WayMetre m = t->bars[b].metre;
    if (b && way_metre_equal(m, t->bars[b - 1].metre)) continue;
    st = way_smf_add_metre(smf, 0, (uint64_t)t->bars[b].start, m);
  }
  return st;
}

static WayStatus add_tones(const Line* line, WaySmf* smf) {
  WayStatus st = way_smf_add_text(smf, 1, 0, 3, "guide-tone line");
  for (uint32_t i = 0; !st && i < line->t->n_spans; ++i) {
    const uint8_t pitch = line->tones[i].pitch;
    const uint64_t start = (uint64_t)line->t->spans[i].start;
    const uint64_t end = start + (uint64_t)length_of(line, i);
    char symbol[WAY_SYMBOL_MAX];
    WayOut out = way_out(symbol, sizeof(symbol));
    way_chord_write(chord_at(line, i), &out);
    st = way_smf_add_text(smf, 1, start, 6, symbol);
    if (st || pitch == WAY_LINE_SILENT) continue;
    const uint8_t on[] = {0x90, pitch, 80}, off[] = {0x80, pitch, 64};
    st = way_smf_add(smf, 1, start, on, sizeof(on));
    if (!st) st = way_smf_add(smf, 1, end, off, sizeof(off));
  }
  return st;
}

static WayStatus make_file(const Line* line, uint8_t** bytes, size_t* size) {
  WaySmf* const smf = way_smf_new(1, WAY_TICKS_PER_QUARTER);
  WayStatus st = WAY_ERR_NO_MEMORY;
  if (smf && way_smf_add_track(smf) && way_smf_add_track(smf)) {
    st = add_form(line, smf);
    if (!st) st = add_tones(line, smf);
    if (!st) st = way_smf_write(smf, bytes, size);
  }
  way_smf_free(smf);
  return st;
}

static WayExit write_file(const Line* line, const char* output) {
  uint8_t* bytes;
  size_t size;
  const WayStatus st = make_file(line, &bytes, &size);
  if (st) return way_cli_failed(output, "%s", way_strerror(st));
  const WayExit end = way_cli_write(output, bytes, size);
  free(bytes);
  return end;
}

static WayExit report(const WayArgs* args, const Line* line) {
  const char* const output = args->value[OPT_OUTPUT];
  if (output) {
    const WayExit end = write_file(line, output);
    if (end || !strcmp(output, "-")) return end;
  }
  if (args->value[OPT_JSON]) return print_json(line);
  print_line(line);
  return WAY_EXIT_OK;
}

static WayExit run(const WayArgs* args) {
  Line line = {.low = 55, .high = 79};
  WayExit end = way_cli_range(args, OPT_RANGE_LOW, OPT_RANGE_HIGH, 12,
                              WAY_LINE_SPAN_MAX, &line.low, &line.high);
  static const unsigned outputs[] = {OPT_OUTPUT, OPT_JSON};
  const char* const chart = args->words[0];
  if (!end) end = way_cli_files_apart(args, outputs, WAY_COUNT(outputs), &chart, 1);
  if (!end) end = way_cli_timeline(chart, &line.t);
  if (end) return end;
  const WayStatus st = way_targets_line(line.t, line.low, line.high, &line.tones);
  end =
      st ? way_cli_failed(args->words[0], "%s", way_strerror(st)) : report(args, &line);
  free(line.tones);
  way_timeline_free(line.t);
  return end;
}

const WayCommand way_cmd_line = {
    "line",
    "CHART",
    "Find the guide-tone line of a chart",
    "One tone a chord, thirds and sevenths first, moving as little as possible round\n"
    "the whole form and back to its top.  A target in the chart (D>3) is kept.\n"
    "Prints one line a chord, divided by tabs: bar, beat, chord, note, MIDI number,\n"
    "degree, and 'common' where the tone before it can be held.\n",
    options,
    1,
    1,
    run};
