// `waymark show`: a frame of the screen as a picture.
#include "chart/chart_unroll.h"
#include "cli/commands.h"
#include "cli/load.h"
#include "draw/picture.h"
#include "draw/screen_paint.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
  PNG,
  SVG,
  SIZE,
  AT,
  VIEW,
  THEME,
  MATERIAL,
  NOTES,
  TUNING,
  LEFT,
  CAPO,
  FRETS,
  KEYBOARD
};

static const WayOption options[] = {
    [PNG] = {"png", 0, "FILE", "Write the picture as PNG; - is standard output"},
    [SVG] = {"svg", 0, "FILE", "Write it as SVG"},
    [SIZE] = {"size", 0, "WxH", "In pixels, 120x120 to 7680x4320 (900x420)"},
    [AT] = {"at", 0, "BAR.BEAT", "The place, both from 1: 13.2, or 13.2.5 (1.1)"},
    [VIEW] = {"view", 0, "NAME",
              "full, or stage: now, next and instrument only (full)"},
    [THEME] = {"theme", 0, "NAME", "light, dark, contrast or print (light)"},
    [MATERIAL] = {"material", 'm', "NAME",
                  "What the instrument shows, such as pentatonic (chord-scale)"},
    [NOTES] = {"notes", 0, NULL, "Signs say notes, not degrees"},
    [TUNING] = {"tuning", 0, "TUNING",
                "A name, or notes from the lowest string up: guitar, 'D2 A2 D3 G3'"},
    [LEFT] = {"left", 0, NULL, "A left-handed fretboard"},
    [CAPO] = {"capo", 0, "N", "A capo on fret N"},
    [FRETS] = {"frets", 0, "A-B", "The frets shown (0-12)"},
    [KEYBOARD] = {"keyboard", 0, NULL, "A keyboard instead of the fretboard"},
    {0}};

static const char* view_name(unsigned v) { return way_view_name((WayView)v); }
static const char* theme_name(unsigned v) { return way_theme_name((WayThemeName)v); }
static const char* material_name(unsigned v) {
  return way_material_name((WayMaterial)v);
}

/// What is asked for.
typedef struct {
  int width, height;
  unsigned bar; ///< From 1
  double beat;  ///< From 1
  WayMaterial material;
  WayScreenLook look;
} Asked;

static WayExit read_size(const WayArgs* args, Asked* a) {
  const char* const text = args->value[SIZE];
  char more;
  if (!text) return WAY_EXIT_OK;
  if (sscanf(text, "%5dx%5d%c", &a->width, &a->height, &more) != 2 || a->width < 120 ||
      a->width > 7680 || a->height < 120 || a->height > 4320)
    return way_cli_usage(
        args, "--size: expected WxH from 120x120 to 7680x4320, not '%s'", text);
  return WAY_EXIT_OK;
}

static WayExit read_at(const WayArgs* args, Asked* a) {
  const char* const text = args->value[AT];
  char more;
  if (!text) return WAY_EXIT_OK;
  const int n = sscanf(text, "%6u.%lf%c", &a->bar, &a->beat, &more);
  if ((n != 1 && n != 2) || !a->bar || !(a->beat >= 1 && a->beat < 65) ||
      strspn(text, "0123456789.") != strlen(text))
    return way_cli_usage(args, "--at: expected BAR.BEAT such as 13.2, not '%s'", text);
  return WAY_EXIT_OK;
}

static WayExit read_frets(const WayArgs* args, WayFretboard* board) {
  const char* const text = args->value[FRETS];
  unsigned first, last;
  char more;
  if (!text) {
    board->last = (uint8_t)(board->capo + 12u);
    return WAY_EXIT_OK;
  }
  if (sscanf(text, "%3u-%3u%c", &first, &last, &more) != 2 || first >= last ||
      last > WAY_FRET_MAX)
    return way_cli_usage(args, "--frets: expected A-B from 0 to %u, not '%s'",
                         WAY_FRET_MAX, text);
  if (last <= board->capo)
    return way_cli_usage(args, "--frets: %s lies below the capo", text);
  board->first = (uint8_t)first;
  board->last = (uint8_t)last;
  return WAY_EXIT_OK;
}

static WayExit read_board(const WayArgs* args, WayFretboard* board) {
  WayError error = {.status = WAY_OK};
  int capo = 0;
  const char* const tuning = args->value[TUNING];
  if (tuning && way_tuning_read(way_text(tuning), &board->tuning, &error))
    return way_cli_usage(args, "--tuning: column %u: %s", error.column, error.message);
  if (way_cli_int(args, CAPO, 0, 24, &capo)) return WAY_EXIT_USAGE;
  board->capo = (uint8_t)capo;
  board->left = args->value[LEFT] != NULL;
  return read_frets(args, board);
}

static WayExit read_look(const WayArgs* args, Asked* a) {
  unsigned view = a->look.view, theme = a->look.theme, material = a->material;
  if (way_cli_choice(args, VIEW, WAY_VIEW_COUNT, view_name, &view) ||
      way_cli_choice(args, THEME, WAY_THEME_COUNT, theme_name, &theme) ||
      way_cli_choice(args, MATERIAL, WAY_MATERIAL_COUNT, material_name, &material))
    return WAY_EXIT_USAGE;
  a->look.view = (WayView)view;
  a->look.theme = (WayThemeName)theme;
  a->material = (WayMaterial)material;
  a->look.by_name = args->value[NOTES] != NULL;
  a->look.keyboard = args->value[KEYBOARD] != NULL;
  return read_board(args, &a->look.frets);
}

/// The tick of a bar and beat; bars beyond the form are in later choruses.
static WayTick tick_of(const WayTimeline* t, const Asked* a) {
  const unsigned bar = a->bar - 1;
  const WayBar* const in_form = &t->bars[bar % t->n_bars];
  return bar / t->n_bars * t->length + in_form->start +
         (WayTick)((a->beat - 1) * (double)way_metre_beat(in_form->metre));
}

/// A model with its layout.
typedef struct {
  WayScreenModel model;
  WayScreenLayout layout;
} Frame;

static void draw(cairo_t* cr, const void* what) {
  const Frame* const f = what;
  way_screen_paint(cr, &f->model, &f->layout, WAY_REGIONS_ALL);
}

static WayExit write_picture(const char* path, WayStatus st, char* bytes, size_t size) {
  if (st) return way_cli_failed(path, "%s", way_strerror(st));
  const WayExit end = way_cli_write(path, bytes, size);
  free(bytes);
  return end;
}

static WayExit write_pictures(const WayArgs* args, const Asked* a, const Frame* f) {
  char* bytes = NULL;
  size_t size = 0;
  WayExit end = WAY_EXIT_OK;
  const char* const png = args->value[PNG];
  const char* const svg = args->value[SVG];
  if (png) {
    const WayStatus st = way_picture_png(a->width, a->height, draw, f, &bytes, &size);
    end = write_picture(png, st, bytes, size);
  }
  if (svg && !end) {
    const WayStatus st = way_picture_svg(a->width, a->height, draw, f, &bytes, &size);
    end = write_picture(svg, st, bytes, size);
  }
  return end;
}

static WayExit show(const WayArgs* args, const Asked* a, const WayChart* chart) {
  WayTimeline* t = NULL;
  const WayStatus st = way_chart_unroll(chart, &t);
  if (st) return way_cli_failed(args->words[0], "%s", way_strerror(st));
  const WayScreenItem items[] = {
      {"material", way_material_name(a->material)},
      {"view", way_view_name(a->look.view)},
      {"theme", way_theme_name(a->look.theme)},
  };
  Frame f = {.model = {.title = chart->title,
                       .material = a->material,
                       .items = items,
                       .n_items = WAY_COUNT(items),
                       .focus = WAY_SCREEN_NO_ITEM,
                       .look = a->look}};
  way_screen_follow(&f.model, t, tick_of(t, a));
  f.layout = way_screen_layout(&f.model, a->width, a->height);
  const WayExit end = write_pictures(args, a, &f);
  way_timeline_free(t);
  return end;
}

static WayExit run(const WayArgs* args) {
  Asked a = {.width = 900,
             .height = 420,
             .bar = 1,
             .beat = 1,
             .material = WAY_MATERIAL_CHORD_SCALE,
             .look = way_screen_look_default()};
  if (!args->value[PNG] && !args->value[SVG])
    return way_cli_usage(args, "expected --png FILE or --svg FILE");
  if (read_size(args, &a) || read_at(args, &a) || read_look(args, &a))
    return WAY_EXIT_USAGE;
  for (int i = PNG; i <= SVG; ++i)
    if (args->value[i] && way_cli_apart(args->value[i], args->words[0]))
      return WAY_EXIT_FAILED;
  WayChart* chart = NULL;
  WayExit end = way_cli_chart(args->words[0], &chart);
  if (end) return end;
  end = show(args, &a, chart);
  way_chart_free(chart);
  return end;
}

const WayCommand way_cmd_show = {
    .name = "show",
    .words = "CHART",
    .help = "Draw the screen to play by, at one place of a chart",
    .more =
        "docs/screen.md tells what is where.  CHART is chart text; - reads standard\n"
        "input.\n",
    .options = options,
    .least = 1,
    .most = 1,
    .run = run,
};
