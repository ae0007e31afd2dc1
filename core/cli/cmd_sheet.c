// `waymark sheet`: a lesson hand-out, or single diagrams.
#include "chart/chart_unroll.h"
#include "cli/board.h"
#include "cli/commands.h"
#include "cli/load.h"
#include "draw/label.h"
#include "draw/sheet_paint.h"
#include "draw/sheet_single.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum {
  OUTPUT,
  CHORD,
  SCALE,
  TUNING,
  LEFT,
  CAPO,
  FRETS,
  POSITION,
  ALL_POSITIONS,
  KEYBOARD,
  NOTES,
  PAPER,
  LARGE,
  MONO,
  PAGE
};

static const WayOption options[] = {
    [OUTPUT] = {"output", 'o', "FILE",
                "Write FILE: .pdf, .svg or .png; - prints a PDF"},
    [CHORD] = {"chord", 0, "SYMBOL", "One diagram of a chord, such as Cmaj7"},
    [SCALE] = {"scale", 0, "SCALE", "One diagram of a scale, such as 'A blues'"},
    [TUNING] = {"tuning", 0, "TUNING",
                "A name, or notes from the lowest string up: guitar, 'D2 A2 D3 G3'"},
    [LEFT] = {"left", 0, NULL, "A left-handed fretboard"},
    [CAPO] = {"capo", 0, "N", "A capo on fret N"},
    [FRETS] = {"frets", 0, "A-B|hand",
               "The frets shown, or hand: the best position (hand)"},
    [POSITION] = {"position", 0, "N", "The first finger at fret N"},
    [ALL_POSITIONS] = {"all-positions", 0, NULL, "Every position up the neck, too"},
    [KEYBOARD] = {"keyboard", 0, NULL, "Keyboards instead of fretboards"},
    [NOTES] = {"notes", 0, NULL, "Signs say notes, not degrees"},
    [PAPER] = {"paper", 0, "NAME", "A4 or Letter (A4)"},
    [LARGE] = {"large", 0, NULL, "Large print"},
    [MONO] = {"mono", 0, NULL, "Black and white"},
    [PAGE] = {"page", 0, "N", "Only page N"},
    {0}};

static const char* paper_name(unsigned v) { return way_paper_name((WayPaper)v); }

static WayExit read_position(const WayArgs* args, WaySheetLook* look) {
  int position = 0;
  if (!args->value[POSITION]) return WAY_EXIT_OK;
  if (look->window)
    return way_cli_usage(args, "--position and --frets do not go together");
  const int least = look->frets.capo + 1;
  const WayExit end = way_cli_int(args, POSITION, least,
                                  look->frets.capo + (int)WAY_POSITIONS, &position);
  look->position = (uint8_t)position;
  return end;
}

static WayExit read_look(const WayArgs* args, WaySheetLook* look) {
  static const WayBoardOptions board = {TUNING, CAPO, LEFT, FRETS, KEYBOARD};
  static const unsigned fretted[] = {POSITION, ALL_POSITIONS};
  unsigned paper = WAY_PAPER_A4;
  if (way_cli_choice(args, PAPER, WAY_PAPER_COUNT, paper_name, &paper) ||
      way_cli_board(args, &board, &look->frets, &look->window) ||
      way_cli_excludes(args, KEYBOARD, fretted, WAY_COUNT(fretted)) ||
      read_position(args, look))
    return WAY_EXIT_USAGE;
  look->paper = (WayPaper)paper;
  look->all_positions = args->value[ALL_POSITIONS] != NULL;
  look->keyboard = args->value[KEYBOARD] != NULL;
  look->by_name = args->value[NOTES] != NULL;
  look->large = args->value[LARGE] != NULL;
  look->mono = args->value[MONO] != NULL;
  return WAY_EXIT_OK;
}

/// The kind of file, by the end of its name.
static WayExit read_kind(const WayArgs* args, WayCanvasKind* kind) {
  static const struct {
    const char* end;
    WayCanvasKind kind;
  } kinds[] = {
      {".pdf", WAY_CANVAS_PDF}, {".svg", WAY_CANVAS_SVG}, {".png", WAY_CANVAS_PNG}};
  const char* const name = args->value[OUTPUT];
  if (!name) return way_cli_usage(args, "expected -o FILE.pdf, FILE.svg or FILE.png");
  *kind = WAY_CANVAS_PDF;
  if (!strcmp(name, "-")) return WAY_EXIT_OK;
  const size_t n = strlen(name);
  for (size_t i = 0; i < WAY_COUNT(kinds); ++i)
    if (n > 4 && !strcasecmp(name + n - 4, kinds[i].end)) {
      *kind = kinds[i].kind;
      return WAY_EXIT_OK;
    }
  return way_cli_usage(args,
                       "-o: expected a name that ends in .pdf, .svg or .png, "
                       "not '%s'",
                       name);
}

static WayExit write_out(const WayArgs* args, WayStatus st, char* bytes, size_t size) {
  const char* const name = args->value[OUTPUT];
  if (st == WAY_ERR_RANGE)
    return way_cli_failed(name, "too large for such a picture; a PDF, or --page N, "
                                "is not");
  if (st) return way_cli_failed(name, "%s", way_strerror(st));
  const WayExit end = way_cli_write(name, bytes, size);
  free(bytes);
  return end;
}

// ---- Single diagrams.

static WayExit write_single(const WayArgs* args, const WaySingle* single,
                            const WaySheetLook* look, WayCanvasKind kind) {
  char* bytes = NULL;
  size_t size = 0;
  const WayStatus st = way_single_write(single, look, kind, &bytes, &size);
  return write_out(args, st, bytes, size);
}

static WayExit draw_chord(const WayArgs* args, const WaySheetLook* look,
                          WayCanvasKind kind) {
  WayChord chord;
  WayError error = {.status = WAY_OK};
  char symbol[WAY_SYMBOL_MAX], title[3 * WAY_SYMBOL_MAX];
  if (way_chord_read(way_text(args->value[CHORD]), &chord, &error))
    return way_cli_usage(args, "--chord: column %u: %s", error.column, error.message);
  if (way_chord_is_none(&chord))
    return way_cli_usage(args, "--chord: %s has no tones", args->value[CHORD]);
  WayOut plain = way_out(symbol, sizeof(symbol)), out = way_out(title, sizeof(title));
  way_chord_write(&chord, &plain);
  way_label_signs(symbol, &out);
  const WaySingle single = way_single_chord(&chord, title);
  return write_single(args, &single, look, kind);
}

static WayExit draw_scale(const WayArgs* args, const WaySheetLook* look,
                          WayCanvasKind kind) {
  WayScale scale;
  WayError error = {.status = WAY_OK};
  char tonic[WAY_SPELLING_MAX], title[128];
  if (way_scale_read(way_text(args->value[SCALE]), &scale, &error))
    return way_cli_usage(args, "--scale: column %u: %s", error.column, error.message);
  WayOut plain = way_out(tonic, sizeof(tonic)), out = way_out(title, sizeof(title));
  way_spelling_write(scale.tonic, &plain);
  way_label_signs(tonic, &out);
  way_out_char(&out, ' ');
  way_out_str(&out, scale.type->name);
  const WaySingle single = way_single_scale(&scale, title);
  return write_single(args, &single, look, kind);
}

// ---- Sheets.

static WayExit write_sheet(const WayArgs* args, const WaySheet* sheet,
                           WayCanvasKind kind) {
  char* bytes = NULL;
  size_t size = 0;
  int page = 0;
  if (way_cli_int(args, PAGE, 1, (int)sheet->n_pages, &page)) return WAY_EXIT_USAGE;
  const WayStatus st = way_sheet_write(sheet, (uint32_t)page, kind, &bytes, &size);
  return write_out(args, st, bytes, size);
}

static WayExit draw_sheet(const WayArgs* args, const WaySheetLook* look,
                          WayCanvasKind kind) {
  const char* const path = args->words[0];
  WayChart* chart = NULL;
  WayTimeline* form = NULL;
  WaySheet* sheet = NULL;
  WayExit end = way_cli_apart(args->value[OUTPUT], path);
  if (!end) end = way_cli_chart(path, &chart);
  if (end) return end;
  WayStatus st = way_chart_unroll(chart, &form);
  if (!st) st = way_sheet_new(chart, form, look, &sheet);
  if (st == WAY_ERR_FULL)
    end = way_cli_failed(path, "too long for a sheet of %u pages", WAY_SHEET_PAGES_MAX);
  else if (st)
    end = way_cli_failed(path, "%s", way_strerror(st));
  else
    end = write_sheet(args, sheet, kind);
  way_sheet_free(sheet);
  way_timeline_free(form);
  way_chart_free(chart);
  return end;
}

static WayExit run(const WayArgs* args) {
  WaySheetLook look = {.frets = way_fretboard_default()};
  WayCanvasKind kind;
  if (read_kind(args, &kind) || read_look(args, &look)) return WAY_EXIT_USAGE;
  const int asked =
      (int)args->n + (args->value[CHORD] != NULL) + (args->value[SCALE] != NULL);
  if (asked != 1)
    return way_cli_usage(args, "expected one of CHART, --chord and --scale");
  if (args->value[PAGE] && !args->n)
    return way_cli_usage(args, "--page goes with CHART");
  if (args->value[CHORD]) return draw_chord(args, &look, kind);
  if (args->value[SCALE]) return draw_scale(args, &look, kind);
  return draw_sheet(args, &look, kind);
}

const WayCommand way_cmd_sheet = {
    .name = "sheet",
    .words = "CHART",
    .help = "Print a lesson hand-out of a chart, or single diagrams",
    .more =
        "The chart with its numerals, the guide-tone line, a diagram for each stage "
        "of\n"
        "practice and for each chord in one hand position, the degree map, and what\n"
        "each change brings.  CHART is chart text; - reads standard input.\n",
    .options = options,
    .least = 0,
    .most = 1,
    .run = run,
};
