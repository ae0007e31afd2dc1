// `waymark run`: the live guide over a file.
#include "chart/chart_unroll.h"
#include "cli/commands.h"
#include "cli/load.h"
#include "cli/words.h"
#include "take/run.h"

#include <stdio.h>
#include <string.h>

/// Settings follow in their order; `enabled` is no option.
enum {
  OPT_CHART,
  OPT_OUTPUT,
  OPT_TRACK,
  OPT_CHORD_TRACK,
  OPT_LEARNED,
  OPT_JSON,
  OPT_SETTINGS,
};
/// The option of a setting.
#define OPTION(setting) (OPT_SETTINGS + (setting)-WAY_SETTING_HANDLING)

static const WayOption options[] = {
    [OPT_CHART] = {"chart", 'c', "FILE", "The chart (- reads standard input)"},
    [OPT_OUTPUT] = {"output", 'o', "FILE",
                    "The MIDI file to write (- for standard output)"},
    [OPT_TRACK] = {"track", 't', "N|NAME",
                   "The melody's track, counted from 0, or its name"},
    [OPT_CHORD_TRACK] = {"chord-track", 0, "N|NAME",
                         "A track whose notes are the chords"},
    [OPT_LEARNED] = {"learned", 0, "FILE",
                     "Write the form that was learned as a chart"},
    [OPT_JSON] = {"json", 'j', NULL, "Print the marks and totals as JSON"},
    [OPTION(
        WAY_SETTING_HANDLING)] = {"handling", 0, "NAME",
                                  "Notes outside the material: tag, filter, snap or "
                                  "soften them (tag)"},
    [OPTION(WAY_SETTING_MATERIAL)] =
        {"material", 'm', "NAME",
         "The notes in play, such as pentatonic (chord-scale)"},
    [OPTION(WAY_SETTING_SNAP)] = {"snap", 0, "NAME",
                                  "Which way notes snap: nearest, up, down (nearest)"},
    [OPTION(WAY_SETTING_HELD)] = {"held", 0, "NAME",
                                  "Held notes outside at a change: keep, release or "
                                  "move them (keep)"},
    [OPTION(WAY_SETTING_SOURCE)] = {"source", 0, "NAME",
                                    "Where chords come from: auto, chart, track, "
                                    "channel, held (auto)"},
    [OPTION(WAY_SETTING_EARLY)] = {"early", 'e', "BEATS",
                                   "How early a note may begin and belong to the next "
                                   "chord (0)"},
    [OPTION(
        WAY_SETTING_MELODY_CHANNEL)] = {"melody-channel", 0, "N",
                                        "The melody's channel, 1 to 16; 0 for all (0)"},
    [OPTION(WAY_SETTING_CHORD_CHANNEL)] = {"chord-channel", 0, "N",
                                           "The channel of the chords, with --source "
                                           "channel (16)"},
    [OPTION(WAY_SETTING_SPLIT_KEY)] = {"split-key", 0, "NOTE",
                                       "Keys below this note are chords, with --source "
                                       "held (48)"},
    [OPTION(WAY_SETTING_TAG_CHANNEL)] = {"tag-channel", 0, "N",
                                         "Chord tones on channel N, scale tones N+1, "
                                         "chromatic N+2 (0)"},
    [OPTION(WAY_SETTING_START_BAR)] = {"start-bar", 0, "N",
                                       "Bar of the take where the chart begins (1)"},
    [OPTION(WAY_SETTING_BEND_RANGE)] = {"bend-range", 0, "SEMITONES",
                                        "How far a whole pitch bend reaches (2)"},
    [OPTION(WAY_SETTING_STRINGS)] = {"strings", 0, NULL,
                                     "Each channel is a string with a bend of its own"},
    [OPTION(WAY_SETTING_STRUM)] =
        {"strum", 0, "MS", "Chord keys struck this close together are one chord (0)"},
    [OPTION(WAY_SETTING_CHORD_STAYS)] =
        {"chord-stays", 0, "SECONDS",
         "How long a heard chord stays; 0 until the next (0)"},
    [OPTION(
        WAY_SETTING_GRACE)] = {"grace", 0, "MS",
                               "How far back a heard chord counts for notes begun (0)"},
    [OPTION(WAY_SETTING_CLICK)] =
        {"click", 0, "NAME", "Click the guide tones: off, changes, bars, beats (off)"},
    [OPTION(WAY_SETTING_CLICK_LEAD)] = {"click-lead", 0, "BEATS",
                                        "Beats before a change that click already (0)"},
    [OPTION(WAY_SETTING_CLICK_CHANNEL)] = {"click-channel", 0, "N",
                                           "The click's channel (15)"},
    [OPTION(WAY_SETTING_CLICK_VELOCITY)] = {"click-velocity", 0, "N",
                                            "The click's velocity, 1 to 127 (40)"},
    [OPTION(WAY_SETTING_CLICK_LENGTH)] = {"click-length", 0, "MS",
                                          "How long a click sounds (100)"},
    [OPTION(
        WAY_SETTING_SOFTEN_TO)] = {"soften-to", 0, "PERCENT",
                                   "What softened notes keep of their velocity (40)"},
    [OPTION(WAY_SETTING_MAX_DISTANCE)] = {"max-distance", 0, "SEMITONES",
                                          "The farthest a note is snapped (11)"},
    [OPTION(WAY_SETTING_SCOPE)] = {"scope", 0, "NAME",
                                   "Notes that are handled: every, beats, strong, "
                                   "landings (every)"},
    [OPTION(WAY_SETTING_APPROACH)] = {"approach", 0, "BEATS",
                                      "How long an outside note may wait for its "
                                      "resolution (0)"},
    [OPTION(WAY_SETTING_RANGE_LOW)] = {"range-low", 0, "NOTE",
                                       "The lowest key of the melody (0)"},
    [OPTION(WAY_SETTING_RANGE_HIGH)] = {"range-high", 0, "NOTE",
                                        "The highest key of the melody (127)"},
    [OPTION(WAY_SETTING_LEARN)] = {"learn", 0, "NAME",
                                   "Learn the form from heard chords: off, on (on)"},
    [OPTION(WAY_SETTING_KEEP)] = {"keep", 0, "BAR",
                                  "Keep the form heard before this bar of the take"},
    [OPTION(WAY_SETTING_COUNT)] = {0},
};

/// Whether a setting is a key of MIDI, which can be named as a note.
static bool is_key(WaySetting which) {
  return which == WAY_SETTING_SPLIT_KEY || which == WAY_SETTING_RANGE_LOW ||
         which == WAY_SETTING_RANGE_HIGH;
}

/// Read one setting from its option.
static WayExit read_setting(const WayArgs* args, WaySetting which, WaySettings* s) {
  const WaySettingRow* const row = &way_setting_rows[which];
  const unsigned option = (unsigned)OPTION(which);
  double value = way_settings_get(s, which);
  unsigned choice = (unsigned)value;
  int whole = (int)value;
  WayExit end = WAY_EXIT_OK;
  uint8_t key = (uint8_t)value;
  if (!options[option].value) {
    value = args->value[option] ? 1 : value;
  } else if (is_key(which)) {
    end = way_cli_pitch(args, option, &key);
    value = key;
  } else if (row->name) {
    end = way_cli_choice(args, option, (unsigned)row->most + 1, row->name, &choice);
    value = choice;
  } else if (row->whole) {
    end = way_cli_int(args, option, (int)row->least, (int)row->most, &whole);
    value = whole;
  } else {
    end = way_cli_number(args, option, row->least, row->most, &value);
  }
  way_settings_put(s, which, value);
  return end;
}

static WayExit read_settings(const WayArgs* args, WaySettings* s) {
  for (unsigned i = WAY_SETTING_HANDLING; i < WAY_SETTING_KEEP; ++i)
    if (read_setting(args, (WaySetting)i, s)) return WAY_EXIT_USAGE;
  return way_cli_range(args, (unsigned)OPTION(WAY_SETTING_RANGE_LOW),
                       (unsigned)OPTION(WAY_SETTING_RANGE_HIGH), 1, 128, &s->range_low,
                       &s->range_high);
}

/// Whether the chords asked for can come from anywhere.
static WayExit check_source(const WayArgs* args, const WaySettings* s) {
  const bool chart = args->value[OPT_CHART], track = args->value[OPT_CHORD_TRACK];
  if (s->source == WAY_SOURCE_CHART && !chart)
    return way_cli_usage(args, "--source chart needs --chart FILE");
  if (s->source == WAY_SOURCE_TRACK && !track)
    return way_cli_usage(args, "--source track needs --chord-track N|NAME");
  if (s->source == WAY_SOURCE_AUTO && !chart && !track)
    return way_cli_usage(args, "expected --chart FILE or --chord-track N|NAME");
  return WAY_EXIT_OK;
}

// ---- What is printed.

static json_t* mark_json(const WayRun* run, const WayMark* mark, double beat) {
  char text[WAY_MARK_TEXT_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_mark_write(mark, &out);
  json_t* const value = json_pack("{s:s, s:f, s:f, s:I, s:i, s:s}", "kind",
                                  way_mark_name((WayMarkKind)mark->kind), "beats",
                                  (double)mark->tick / beat, "take_beats",
                                  (double)(mark->tick + run->top) / beat, "chorus",
                                  (json_int_t)(mark->chorus < 0 ? 0 : mark->chorus + 1),
                                  "bar", (int)mark->bar + 1, "text", text);
  return value;
}

/// How many marks of a kind; of a role or a landing if `value` is not negative.
static int count(const WayRun* run, WayMarkKind kind, int value) {
  int n = 0;
  for (uint32_t i = 0; i < run->n_marks; ++i) {
    const WayMark* const m = &run->marks[i];
    const int has = kind == WAY_MARK_ROLE ? m->role.role : (int)m->landing;
    n += m->kind == kind && (value < 0 || value == has);
  }
  return n;
}

static json_t* counts_json(const WayRun* run, WayMarkKind kind, unsigned n,
                           const char* (*name)(unsigned)) {
  json_t* const object = json_object();
  for (unsigned i = 0; i < n; ++i)
    json_object_set_new(object, name(i), json_integer(count(run, kind, (int)i)));
  return object;
}

static const char* role_name(unsigned i) { return way_role_name((WayRole)i); }
static const char* landing_name(unsigned i) { return way_landing_name((WayLanding)i); }

static WayExit print_json(const WayRun* run, double beat) {
  WayJson j = {0};
  way_json_open(&j, NULL, '{');
  way_json_open(&j, "marks", '[');
  for (uint32_t i = 0; i < run->n_marks; ++i)
    way_json_put(&j, NULL, mark_json(run, &run->marks[i], beat));
  way_json_close(&j, ']');
  way_json_put(
      &j, "totals",
      json_pack("{s:i, s:i, s:i, s:i, s:o, s:o}", "notes_in", (int)run->notes_in,
                "notes_out", (int)run->notes_out, "changes",
                count(run, WAY_MARK_CHANGE, -1), "tops", count(run, WAY_MARK_TOP, -1),
                "roles", counts_json(run, WAY_MARK_ROLE, WAY_ROLE_COUNT, role_name),
                "landings",
                counts_json(run, WAY_MARK_LANDING, WAY_LANDING_COUNT, landing_name)));
  way_json_close(&j, '}');
  return way_json_end(&j);
}

static void print_counts(const WayRun* run, WayMarkKind kind, unsigned n,
                         const char* (*name)(unsigned)) {
  for (unsigned i = 0; i < n; ++i)
    printf("%s%d %s", i ? ", " : ": ", count(run, kind, (int)i), name(i));
  putchar('\n');
}

static void print_totals(const WayRun* run) {
  printf("%u notes in, %u notes out\n", run->notes_in, run->notes_out);
  printf("roles");
  print_counts(run, WAY_MARK_ROLE, WAY_ROLE_COUNT, role_name);
  printf("%d changes of chord; landings", count(run, WAY_MARK_CHANGE, -1));
  print_counts(run, WAY_MARK_LANDING, WAY_LANDING_COUNT, landing_name);
}

// ---- All of it.

static WayExit report(const WayArgs* args, const WayRun* run,
                      const WayTimeline* chart) {
  const char* const output = args->value[OPT_OUTPUT];
  const char* const learned = args->value[OPT_LEARNED];
  if (learned && !run->learned)
    return way_cli_failed(args->words[0], "no form was learned");
  WayExit end = WAY_EXIT_OK;
  if (output) end = way_cli_write(output, run->bytes, run->size);
  if (!end && learned) end = way_cli_write(learned, run->learned, strlen(run->learned));
  if (end) return end;
  const WayMetre metre = chart ? chart->bars[0].metre : (WayMetre){4, 4};
  if (args->value[OPT_JSON]) return print_json(run, (double)way_metre_beat(metre));
  if ((!output || strcmp(output, "-")) && (!learned || strcmp(learned, "-")))
    print_totals(run);
  return WAY_EXIT_OK;
}

static WayExit run_file(const WayArgs* args, const WayRunChoice* choice) {
  const char* const take = args->words[0];
  WayMidiFile midi;
  const WayExit end = way_cli_midi(take, &midi);
  if (end) return end;
  WayRun* run = NULL;
  WayError error = {.status = WAY_OK};
  WayTick start = 0;
  const WayMetre metre =
      choice->chart ? choice->chart->bars[0].metre : (WayMetre){4, 4};
  WayExit done =
      way_cli_start(take, midi.smf, choice->settings.start_bar, metre, &start);
  if (!done &&
      way_run_new((const uint8_t*)midi.file.at, midi.smf, choice, &run, &error))
    done = way_cli_error(take, &error);
  if (run) done = report(args, run, choice->chart);
  way_run_free(run);
  way_cli_free_midi(&midi);
  return done;
}

static WayExit check_apart(const WayArgs* args) {
  static const unsigned outputs[] = {OPT_OUTPUT, OPT_LEARNED, OPT_JSON};
  const char* const inputs[] = {args->words[0], args->value[OPT_CHART]};
  return way_cli_files_apart(args, outputs, WAY_COUNT(outputs), inputs,
                             WAY_COUNT(inputs));
}

static WayExit run(const WayArgs* args) {
  WayRunChoice choice = {.melody = {.track = -1}, .chords = {.track = -1}};
  choice.settings = way_settings_default();
  if (read_settings(args, &choice.settings) || check_source(args, &choice.settings))
    return WAY_EXIT_USAGE;
  if (!args->value[OPT_OUTPUT] && !args->value[OPT_JSON] && !args->value[OPT_LEARNED])
    return way_cli_usage(args, "expected -o FILE, --json or --learned FILE");
  int keep_bar = 0;
  if (way_cli_int(args, OPTION(WAY_SETTING_KEEP), 1, 100000, &keep_bar))
    return WAY_EXIT_USAGE;
  choice.keep_bar = (uint32_t)keep_bar;
  way_cli_track(args, OPT_TRACK, &choice.melody);
  way_cli_track(args, OPT_CHORD_TRACK, &choice.chords);
  choice.melody.channel = choice.settings.melody_channel;
  WayExit end = check_apart(args);
  WayTimeline* chart = NULL;
  if (!end && args->value[OPT_CHART])
    end = way_cli_timeline(args->value[OPT_CHART], &chart);
  choice.chart = chart;
  if (!end) end = run_file(args, &choice);
  way_timeline_free(chart);
  return end;
}

const WayCommand way_cmd_run = {
    "run",
    "TAKE.mid",
    "Play a recorded take through the live guide",
    "Writes the take as the guide sends it, with its marks as Marker events on a track "
    "of\n"
    "their own.  TAKE.mid may be - for standard input.\n",
    options,
    1,
    1,
    run,
};
