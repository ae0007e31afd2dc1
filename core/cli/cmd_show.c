// `waymark show`: a frame of the screen as a picture.
#include "chart/chart_unroll.h"
#include "chart/targets.h"
#include "cli/board.h"
#include "cli/commands.h"
#include "cli/load.h"
#include "draw/canvas.h"
#include "draw/screen_paint.h"
#include "take/bars.h"
#include "take/review.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
  PNG,
  SVG,
  SIZE,
  AT,
  TAKE,
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
    [AT] = {"at", 0, "BAR.BEAT",
            "The place, both from 1: 13.2, or 13.2.5; bars count on in later choruses "
            "(1.1)"},
    [TAKE] = {"take", 0, "FILE.mid", "Show what this take plays up to there"},
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
    [FRETS] = {"frets", 0, "A-B|hand",
               "The frets shown, or hand: the best position (0-12)"},
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
  if (!text) return WAY_EXIT_OK;
  char *end, *last;
  const unsigned long bar = strtoul(text, &end, 10);
  const bool beat = *end == '.';
  a->bar = (unsigned)bar;
  if (beat) a->beat = strtod(end + 1, &last);
  if (!bar || bar > 999999 || (beat && *last) || (!beat && *end) ||
      !(a->beat >= 1 && a->beat < 65) || strspn(text, "0123456789.") != strlen(text))
    return way_cli_usage(args, "--at: expected BAR.BEAT such as 13.2, not '%s'", text);
  return WAY_EXIT_OK;
}

static WayExit read_board(const WayArgs* args, WayFretboard* board) {
  static const WayBoardOptions which = {TUNING, CAPO, LEFT, FRETS, KEYBOARD};
  bool window = false;
  const WayExit end = way_cli_board(args, &which, board, &window);
  if (!window) board->last = (uint8_t)(board->capo + 12u);
  return end;
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
static WayExit find_tick(const WayArgs* args, const WayTimeline* t, const Asked* a,
                         WayTick* out) {
  const unsigned bar = a->bar - 1;
  const WayBar* const in_form = &t->bars[bar % t->n_bars];
  const WayMetre metre = in_form->metre;
  if (a->beat >= metre.beats + 1)
    return way_cli_usage(args, "--at: bar %u has %u beats, '%s' is beyond them", a->bar,
                         metre.beats, args->value[AT]);
  *out = bar / t->n_bars * t->length + in_form->start +
         (WayTick)((a->beat - 1) * (double)way_metre_beat(metre));
  return WAY_EXIT_OK;
}

/// A model with its layout, and what it points at.
typedef struct {
  WayScreenModel model;
  WayScreenLayout layout;
  WayDegree* targets;
  WayTrailNote* trail;
  WaySounding* sounding;
  WayLandingToken* landings;
  WayFretPlace hand;
} Frame;

static void free_frame(Frame* f) {
  free(f->targets);
  free(f->trail);
  free(f->sounding);
  free(f->landings);
}

static void draw(cairo_t* cr, uint32_t page, const void* what) {
  (void)page;
  const Frame* const f = what;
  way_screen_paint(cr, &f->model, &f->layout, WAY_REGIONS_ALL);
}

/// The notes played up to the place, and those that sound there.
static void add_notes(Frame* f, const WayReview* r) {
  WayScreenModel* const m = &f->model;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayNote* const note = &r->take->notes[i];
    const WayTick start = way_review_onset(r, i), end = start + note->length;
    if (start > m->tick) break;
    f->trail[m->n_trail++] = (WayTrailNote){
        start, end > m->tick ? WAY_TRAIL_SOUNDS : end, note->pitch, r->notes[i].role};
    if (end > m->tick) f->sounding[m->n_sounding++] = (WaySounding){note->pitch, 0};
  }
}

static bool on_target(const Frame* f, const WayLandingSeen* landing) {
  const WayDegree target = f->targets[landing->span];
  return target.number && way_degree_pc(target) == landing->role.interval;
}

/// Where the notes played have led the hand.
static void move_hand(Frame* f) {
  WayScreenModel* const m = &f->model;
  for (uint32_t i = 0; i < m->n_trail && !m->look.keyboard; ++i) {
    WayFretPlace places[WAY_STRINGS_MAX];
    if (!way_fret_places(&f->layout.frets, m->trail[i].pitch, m->hand, places))
      continue;
    f->hand = places[0];
    m->hand = &f->hand;
  }
}

/// The landings of this chorus up to the place.
static void add_landings(Frame* f, const WayReview* r) {
  WayScreenModel* const m = &f->model;
  const WayTimeline* const t = m->timeline;
  const int64_t chorus = way_timeline_at(t, m->tick).chorus;
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const WayLandingSeen* const l = &r->landings[i];
    if (l->note == WAY_NO_NOTE || way_timeline_at(t, l->change).chorus != chorus)
      continue;
    if (l->change > m->tick || way_review_onset(r, l->note) > m->tick) continue;
    f->landings[m->n_landings++] = (WayLandingToken){l->span, on_target(f, l), l->role};
  }
}

static WayStatus add_review(Frame* f, const WayReview* r) {
  f->trail = malloc((r->take->n + 1) * sizeof(*f->trail));
  f->sounding = malloc((r->take->n + 1) * sizeof(*f->sounding));
  f->landings = malloc((r->n_landings + 1) * sizeof(*f->landings));
  if (!f->trail || !f->sounding || !f->landings) return WAY_ERR_NO_MEMORY;
  add_notes(f, r);
  add_landings(f, r);
  f->model.trail = f->trail;
  f->model.sounding = f->sounding;
  f->model.landings = f->landings;
  return WAY_OK;
}

/// The take over the form, from its first bar on.
static WayExit add_take(Frame* f, const char* path) {
  const WayTakeChoice first = {.track = -1};
  const WayTimeline* const t = f->model.timeline;
  WayError error = {.status = WAY_OK};
  WayMidiFile midi;
  WayTake* take = NULL;
  WayReview* review = NULL;
  const WayExit end = way_cli_midi(path, &midi);
  if (end) return end;
  WayTick origin = 0;
  WayStatus st = way_take_new(midi.smf, &first, &take, &error);
  if (!st) st = way_bars_start(midi.smf, 1, t->bars[0].metre, &origin);
  if (!st) st = way_review_new(take, t, origin, 0, &review);
  if (!st) st = add_review(f, review);
  way_review_free(review);
  way_take_free(take);
  way_cli_free_midi(&midi);
  if (!st) return WAY_EXIT_OK;
  return way_cli_failed(path, "%s", *error.message ? error.message : way_strerror(st));
}

static WayExit write_picture(const char* path, WayCanvasKind kind, const Frame* f) {
  const WayCanvas canvas = {.width = f->layout.width,
                            .height = f->layout.height,
                            .n_pages = 1,
                            .draw = draw,
                            .what = f};
  char* bytes = NULL;
  size_t size = 0;
  const WayStatus st = way_canvas_write(&canvas, kind, &bytes, &size);
  if (st) return way_cli_failed(path, "%s", way_strerror(st));
  const WayExit end = way_cli_write(path, bytes, size);
  free(bytes);
  return end;
}

static WayExit write_pictures(const WayArgs* args, const Frame* f) {
  const char* const png = args->value[PNG];
  const char* const svg = args->value[SVG];
  WayExit end = WAY_EXIT_OK;
  if (png) end = write_picture(png, WAY_CANVAS_FRAME, f);
  if (svg && !end) end = write_picture(svg, WAY_CANVAS_SVG, f);
  return end;
}

/// Everything but the take.
static WayExit fill(Frame* f, const WayArgs* args, const Asked* a,
                    const WayTimeline* t) {
  const WayStatus st = way_targets_new(t, &f->targets);
  if (st) return way_cli_failed(args->words[0], "%s", way_strerror(st));
  const char* const frets = args->value[FRETS];
  f->model.look = a->look;
  f->model.material = a->material;
  f->model.targets = f->targets;
  if (frets && !strcmp(frets, "hand"))
    way_screen_hand(t, a->material, &f->model.look.frets);
  WayTick tick = 0;
  const WayExit end = find_tick(args, t, a, &tick);
  if (!end) way_screen_follow(&f->model, t, tick);
  return end;
}

static WayExit show(const WayArgs* args, const Asked* a, const WayChart* chart) {
  WayTimeline* t = NULL;
  const WayStatus st = way_chart_unroll(chart, &t);
  if (st) return way_cli_failed(args->words[0], "%s", way_strerror(st));
  const WayScreenItem items[] = {{"material", way_material_name(a->material)}};
  Frame f = {.model = {.title = chart->title,
                       .rolling = true,
                       .items = items,
                       .n_items = WAY_COUNT(items),
                       .focus = WAY_SCREEN_NO_ITEM}};
  const char* const take = args->value[TAKE];
  WayExit end = fill(&f, args, a, t);
  if (take && !end) end = add_take(&f, take);
  if (!end) {
    f.layout = way_screen_layout(&f.model, a->width, a->height);
    move_hand(&f);
    end = write_pictures(args, &f);
  }
  free_frame(&f);
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
  static const unsigned outputs[] = {PNG, SVG};
  const char* const inputs[] = {args->words[0], args->value[TAKE]};
  WayExit end =
      way_cli_files_apart(args, outputs, WAY_COUNT(outputs), inputs, WAY_COUNT(inputs));
  WayChart* chart = NULL;
  if (!end) end = way_cli_chart(args->words[0], &chart);
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
