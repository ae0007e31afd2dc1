// `waymark map`: the degree map of a chart.
#include "chart/chart_unroll.h"
#include "chart/degree_map.h"
#include "cli/commands.h"
#include "cli/load.h"
#include "cli/words.h"
#include "draw/map_picture.h"
#include "theory/chord_write.h"
#include "theory/numeral_write.h"

#include <stdio.h>
#include <stdlib.h>

enum { MATERIAL, SVG, JSON };

static const WayOption options[] = {
    {"material", 'm', "NAME",
     "Rows: triad, seventh, pentatonic, blues, parent, chord-scale or all (parent)"},
    {"svg", 0, "FILE", "Draw it as a picture instead; - is standard output"},
    {"json", 'j', NULL, "Print one JSON document"},
    {0}};

static const char* symbol_of(char* buffer, const WayHarmony* h) {
  WayOut out = way_out(buffer, WAY_SYMBOL_MAX);
  way_chord_write(&h->chord, &out);
  return buffer;
}

static const char* numeral_of(char* buffer, const WayDegreeMap* map, uint32_t column) {
  const WayHarmony* const h = way_degree_map_harmony(map, column);
  const WayHarmony* const next = way_degree_map_harmony(map, map->columns[column].next);
  WayOut out = way_out(buffer, WAY_NUMERAL_MAX);
  way_numeral_write(&h->chord, &next->chord, h->key, &out);
  return buffer;
}

// As text ---------------------------------------------------------------------------

// `[3]` is a chord tone, `9` a tone of the chord's scale, `(b9)` neither; `.` is not in
// the material over this chord.
static const char* cell_text(char* buffer, WayMapCell cell) {
  static const char* const around[WAY_ROLE_COUNT][2] = {
      [WAY_ROLE_CHORD] = {"[", "]"},
      [WAY_ROLE_SCALE] = {"", ""},
      [WAY_ROLE_CHROMATIC] = {"(", ")"}};
  WayOut out = way_out(buffer, WAY_SPELLING_MAX);
  if (!cell.in_material) {
    way_out_char(&out, '.');
    return buffer;
  }
  way_out_str(&out, around[cell.what.role][0]);
  way_role_degree_write(cell.what.degree, &out);
  way_out_str(&out, around[cell.what.role][1]);
  return buffer;
}

// Characters, not bytes.
static int width_of(const char* text) {
  int n = 0;
  for (; *text; ++text) n += ((unsigned char)*text & 0xC0) != 0x80;
  return n;
}

/// A line of columns, written bit by bit.
typedef struct {
  char text[1024];
  WayOut out;
  int width; ///< Characters
} Line;

static void begin_line(Line* l) {
  l->out = way_out(l->text, sizeof(l->text));
  l->width = 0;
}

/// Write a column of at least `width` characters.
static void put(Line* l, const char* text, int width) {
  const int end = l->width + width;
  way_out_str(&l->out, text);
  for (l->width += width_of(text); l->width < end; ++l->width)
    way_out_char(&l->out, ' ');
}

/// Print the line without the blanks at its end, and begin the next.
static void end_line(Line* l) {
  while (l->out.size && l->text[l->out.size - 1] == ' ') --l->out.size;
  printf("%.*s\n", (int)l->out.size, l->text);
  begin_line(l);
}

static int column_width(const WayDegreeMap* map, uint32_t column) {
  char text[WAY_NUMERAL_MAX];
  int width = width_of(symbol_of(text, way_degree_map_harmony(map, column)));
  const int numeral = width_of(numeral_of(text, map, column));
  if (numeral > width) width = numeral;
  return (width < 5 ? 5 : width) + 2; // no cell is wider than "(b13)"
}

#define ROW_WIDTH 6
#define LINE_WIDTH 96

/// Write how many of a chord's tones the material holds, as `2/3`.
static const char* shared_of(char* buffer, const WayDegreeMap* map, uint32_t column) {
  const WayHarmony* const h = way_degree_map_harmony(map, column);
  WayOut out = way_out(buffer, WAY_SPELLING_MAX);
  way_out_int(&out, way_pcs_count(way_degree_map_shared(map, column)));
  way_out_char(&out, '/');
  way_out_int(&out, way_pcs_count(way_chord_pcs(&h->chord)));
  return buffer;
}

/// Print the columns `from`..`to`-1.
static void print_columns(const WayDegreeMap* map, uint32_t from, uint32_t to) {
  char text[WAY_NUMERAL_MAX];
  Line line;
  begin_line(&line);
  end_line(&line);
  put(&line, "", ROW_WIDTH);
  for (uint32_t i = from; i < to; ++i)
    put(&line, symbol_of(text, way_degree_map_harmony(map, i)), column_width(map, i));
  end_line(&line);
  put(&line, "", ROW_WIDTH);
  for (uint32_t i = from; i < to; ++i)
    put(&line, numeral_of(text, map, i), column_width(map, i));
  end_line(&line);
  for (unsigned row = 0; row < map->n_rows; ++row) {
    put(&line, way_cli_note(text, map->rows[row]), ROW_WIDTH);
    for (uint32_t i = from; i < to; ++i)
      put(&line, cell_text(text, way_degree_map_cell(map, row, i)),
          column_width(map, i));
    end_line(&line);
  }
  put(&line, "tones", ROW_WIDTH);
  for (uint32_t i = from; i < to; ++i)
    put(&line, shared_of(text, map, i), column_width(map, i));
  end_line(&line);
}

/// Print the map in as many blocks as its width asks for.
static void print_table(const WayDegreeMap* map) {
  for (uint32_t from = 0; from < map->n_columns;) {
    int width = ROW_WIDTH + column_width(map, from);
    uint32_t to = from + 1;
    while (to < map->n_columns && width + column_width(map, to) <= LINE_WIDTH)
      width += column_width(map, to++);
    print_columns(map, from, to);
    from = to;
  }
  puts("\n[chord tone]  scale tone  (neither)  . not in the material here\n"
       "tones: how many of the chord's tones the material holds");
}

/// Write the notes of a set, from the chord's root upward.
static const char* notes_of(char* buffer, size_t room, const WayHarmony* h,
                            WayPcSet set) {
  WayOut out = way_out(buffer, room);
  const WayPc root = way_spelling_pc(h->chord.root);
  for (int up = 0; up < 12; ++up) {
    const WayPc pc = way_pc(root + up);
    if (!way_pcs_has(set, pc)) continue;
    if (out.size) way_out_char(&out, ' ');
    way_spelling_write(way_harmony_spell(h, pc), &out);
  }
  return buffer;
}

#define CHANGE_WIDTH 28
#define TONES_WIDTH 17

static void put_change(Line* line, const WayDegreeMap* map, const WayMapChange* c) {
  const WayHarmony* const from = way_degree_map_harmony(map, c->from);
  const WayHarmony* const to = way_degree_map_harmony(map, c->to);
  char a[WAY_SYMBOL_MAX], b[WAY_SYMBOL_MAX], text[2 * WAY_SYMBOL_MAX + 32];
  snprintf(text, sizeof(text), c->times > 1 ? "%s to %s (%u x) " : "%s to %s ",
           symbol_of(a, from), symbol_of(b, to), c->times);
  put(line, text, CHANGE_WIDTH);
  put(line, notes_of(text, sizeof(text), to, c->stay), TONES_WIDTH);
  put(line, notes_of(text, sizeof(text), to, c->fresh), TONES_WIDTH);
  if (map->material == WAY_MATERIAL_CHORD_SCALE)
    put(line, notes_of(text, sizeof(text), to, c->material_fresh), 0);
}

static void print_changes(const WayDegreeMap* map) {
  if (!map->n_changes) return;
  Line line;
  begin_line(&line);
  end_line(&line);
  put(&line, "change", CHANGE_WIDTH);
  put(&line, "tones that stay", TONES_WIDTH);
  put(&line, "new tones", TONES_WIDTH);
  if (map->material == WAY_MATERIAL_CHORD_SCALE) put(&line, "new in the scale", 0);
  end_line(&line);
  for (uint32_t i = 0; i < map->n_changes; ++i) {
    put_change(&line, map, &map->changes[i]);
    end_line(&line);
  }
}

static void print_scale(const char* before, const WayLoopFit* fit) {
  char tonic[WAY_SPELLING_MAX];
  printf("%s%s %s, %.0f %%", before, way_cli_note(tonic, fit->scale.tonic),
         fit->scale.type->name, 100 * fit->share);
}

static void print_map(const WayChart* chart, const WayDegreeMap* map) {
  char key[32];
  WayOut out = way_out(key, sizeof(key));
  way_key_write(map->timeline->key, &out);
  printf("%s%s%s\n", chart->title, *chart->title ? ", " : "", key);
  printf("material: %s", way_material_name(map->material));
  if (map->choice.best.scale.n) {
    print_scale(", ", &map->choice.best);
    fputs(" of the chord tones", stdout);
    print_scale("; next ", &map->choice.next);
  }
  putchar('\n');
  print_table(map);
  print_changes(map);
}

// As JSON ---------------------------------------------------------------------------

static json_t* fit_json(const WayLoopFit* fit) {
  char text[WAY_SPELLING_MAX];
  return json_pack("{s:s, s:s, s:f}", "root", way_cli_note(text, fit->scale.tonic),
                   "name", fit->scale.type->name, "share", fit->share);
}

static json_t* scale_json(const WayDegreeMap* map) {
  if (!map->choice.best.scale.n) return json_null();
  json_t* const best = fit_json(&map->choice.best);
  json_object_set_new(best, "runner_up", fit_json(&map->choice.next));
  return best;
}

static json_t* chords_json(const WayDegreeMap* map) {
  json_t* const chords = json_array();
  for (uint32_t i = 0; i < map->n_columns; ++i) {
    const WayHarmony* const h = way_degree_map_harmony(map, i);
    char symbol[WAY_SYMBOL_MAX], numeral[WAY_NUMERAL_MAX];
    json_array_append_new(
        chords, json_pack("{s:s, s:s, s:i, s:i}", "symbol", symbol_of(symbol, h),
                          "numeral", numeral_of(numeral, map, i), "tones",
                          (int)way_pcs_count(way_chord_pcs(&h->chord)), "shared",
                          (int)way_pcs_count(way_degree_map_shared(map, i))));
  }
  return chords;
}

static json_t* cell_json(WayMapCell cell) {
  char degree[WAY_SPELLING_MAX];
  WayOut out = way_out(degree, sizeof(degree));
  way_role_degree_write(cell.what.degree, &out);
  return json_pack("{s:s, s:i, s:s, s:b, s:b}", "degree", degree, "interval",
                   (int)cell.what.interval, "role",
                   way_role_name((WayRole)cell.what.role), "extension",
                   (int)cell.what.extension, "in_material", (int)cell.in_material);
}

static json_t* rows_json(const WayDegreeMap* map) {
  json_t* const rows = json_array();
  for (unsigned row = 0; row < map->n_rows; ++row) {
    char note[WAY_SPELLING_MAX];
    json_t* const cells = json_array();
    for (uint32_t i = 0; i < map->n_columns; ++i)
      json_array_append_new(cells, cell_json(way_degree_map_cell(map, row, i)));
    json_array_append_new(
        rows,
        json_pack("{s:s, s:i, s:o}", "note", way_cli_note(note, map->rows[row]),
                  "pitch_class", (int)way_spelling_pc(map->rows[row]), "cells", cells));
  }
  return rows;
}

static json_t* notes_json(const WayHarmony* h, WayPcSet set) {
  json_t* const notes = json_array();
  const WayPc root = way_spelling_pc(h->chord.root);
  for (int up = 0; up < 12; ++up) {
    char note[WAY_SPELLING_MAX];
    const WayPc pc = way_pc(root + up);
    if (way_pcs_has(set, pc))
      json_array_append_new(notes,
                            json_string(way_cli_note(note, way_harmony_spell(h, pc))));
  }
  return notes;
}

static json_t* changes_json(const WayDegreeMap* map) {
  json_t* const changes = json_array();
  for (uint32_t i = 0; i < map->n_changes; ++i) {
    const WayMapChange* const c = &map->changes[i];
    const WayHarmony* const from = way_degree_map_harmony(map, c->from);
    const WayHarmony* const to = way_degree_map_harmony(map, c->to);
    json_array_append_new(
        changes, json_pack("{s:i, s:i, s:i, s:o, s:o, s:o, s:o, s:o}", "from",
                           (int)c->from, "to", (int)c->to, "times", (int)c->times,
                           "stay", notes_json(to, c->stay), "new",
                           notes_json(to, c->fresh), "gone", notes_json(from, c->gone),
                           "material_new", notes_json(to, c->material_fresh),
                           "material_gone", notes_json(from, c->material_gone)));
  }
  return changes;
}

static WayExit print_json(const WayChart* chart, const WayDegreeMap* map) {
  char tonic[WAY_SPELLING_MAX];
  const WayKey key = map->timeline->key;
  return way_json_print(json_pack(
      "{s:s, s:{s:s, s:s}, s:s, s:o, s:o, s:o, s:o}", "title", chart->title, "key",
      "tonic", way_cli_note(tonic, key.tonic), "mode", way_mode_name(key.mode),
      "material", way_material_name(map->material), "scale", scale_json(map), "chords",
      chords_json(map), "rows", rows_json(map), "changes", changes_json(map)));
}

// As a picture ----------------------------------------------------------------------

static WayExit write_svg(const char* path, const WayChart* chart,
                         const WayDegreeMap* map) {
  char* bytes = NULL;
  size_t size = 0;
  const WayStatus st = way_map_picture_svg(map, chart->title, &bytes, &size);
  if (st) return way_cli_failed(path, "%s", way_strerror(st));
  const WayExit end = way_cli_write(path, bytes, size);
  free(bytes);
  return end;
}

// The command -----------------------------------------------------------------------

static const char* material_name(unsigned m) {
  return way_material_name((WayMaterial)m);
}

static WayExit map_chart(const WayArgs* args, const WayChart* chart,
                         WayMaterial material) {
  WayTimeline* timeline = NULL;
  WayStatus st = way_chart_unroll(chart, &timeline);
  if (st) return way_cli_failed(args->words[0], "%s", way_strerror(st));
  WayDegreeMap* map = NULL;
  WayExit end = WAY_EXIT_OK;
  st = way_degree_map_new(timeline, material, &map);
  if (st)
    end = way_cli_failed(args->words[0], "%s", way_strerror(st));
  else if (args->value[SVG])
    end = write_svg(args->value[SVG], chart, map);
  if (!end && args->value[JSON])
    end = print_json(chart, map);
  else if (!end && !args->value[SVG])
    print_map(chart, map);
  way_degree_map_free(map);
  way_timeline_free(timeline);
  return end;
}

static WayExit run(const WayArgs* args) {
  unsigned material = WAY_MATERIAL_PARENT;
  WayExit end =
      way_cli_choice(args, MATERIAL, WAY_MATERIAL_COUNT, material_name, &material);
  static const unsigned outputs[] = {SVG, JSON};
  const char* const file = args->words[0];
  if (!end) end = way_cli_files_apart(args, outputs, WAY_COUNT(outputs), &file, 1);
  if (end) return end;
  WayChart* chart = NULL;
  end = way_cli_chart(args->words[0], &chart);
  if (end) return end;
  end = map_chart(args, chart, (WayMaterial)material);
  way_chart_free(chart);
  return end;
}

const WayCommand way_cmd_map = {
    .name = "map",
    .words = "CHART",
    .help = "Print what each note of a material is over each chord of a chart",
    .more =
        "Rows are the notes of the material, columns the chords of the form; each\n"
        "cell says what the note is there: [3] is a chord tone, 9 a tone of the\n"
        "chord's scale, (b9) neither.  Below, for each change: the chord tones that\n"
        "stay and those that are new.  CHART is chart text; - reads standard input.\n",
    .options = options,
    .least = 1,
    .most = 1,
    .run = run,
};
