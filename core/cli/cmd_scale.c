// `waymark scale`: the notes of a scale, the table of scales, and scales of chords.
#include "cli/commands.h"
#include "cli/words.h"
#include "theory/chord_read.h"
#include "theory/scale_fit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { OPTION_LIST, OPTION_OF, OPTION_JSON };

// A JSON array of the words in a text.
static json_t* words_json(const char* text, const char* separator) {
  json_t* const array = json_array();
  while (*text) {
    const size_t n = strcspn(text, separator);
    json_array_append_new(array, json_stringn(text, n));
    text += n + (text[n] != '\0');
  }
  return array;
}

static json_t* scale_json(const WayScale* s) {
  char text[WAY_SPELLING_MAX];
  json_t *const tones = json_array(), *const degrees = json_array(),
                *const pcs = json_array();
  for (unsigned i = 0; i < s->n; ++i) {
    const WaySpelling note = way_scale_note(s, i);
    json_array_append_new(tones, json_string(way_cli_note(text, note)));
    json_array_append_new(degrees, json_string(way_cli_degree(text, s->degrees[i])));
    json_array_append_new(pcs, json_integer(way_spelling_pc(note)));
  }
  return json_pack("{s:s, s:s, s:o, s:o, s:o, s:s, s:o}", "name", s->type->name, "root",
                   way_cli_note(text, s->tonic), "tones", tones, "degrees", degrees,
                   "pitch_classes", pcs, "family",
                   way_scale_family_name(s->type->family), "other_names",
                   words_json(s->type->others, "|"));
}

static void print_scale(const WayScale* s, const char* more) {
  char text[WAY_SPELLING_MAX];
  way_cli_note(text, s->tonic);
  printf("%s\t%s\t%s\t", s->type->name, text, text);
  for (unsigned i = 0; i < s->n; ++i)
    printf("%s%s", i ? " " : "", way_cli_note(text, way_scale_note(s, i)));
  for (unsigned i = 0; i < s->n; ++i)
    printf("%c%s", i ? ' ' : '\t', way_cli_degree(text, s->degrees[i]));
  for (unsigned i = 0; i < s->n; ++i)
    printf("%c%d", i ? ' ' : '\t', way_spelling_pc(way_scale_note(s, i)));
  printf("%s%s\n", *more ? "\t" : "", more);
}

static WayExit list_scales(const WayArgs* args) {
  json_t* const all = args->value[OPTION_JSON] ? json_array() : NULL;
  for (unsigned i = 0; i < way_scale_count(); ++i) {
    const WayScaleType* const t = way_scale_type(i);
    if (all)
      json_array_append_new(all, json_pack("{s:s, s:s, s:o, s:o}", "name", t->name,
                                           "family", way_scale_family_name(t->family),
                                           "degrees", words_json(t->formula, " "),
                                           "other_names", words_json(t->others, "|")));
    else
      printf("%s\t%s\t%s\t%s\n", t->name, t->formula, way_scale_family_name(t->family),
             t->others);
  }
  return all ? way_json_print(all) : WAY_EXIT_OK;
}

// Results, as text or as the elements of a JSON array.
typedef struct {
  bool as_json;
  WayJson json;
  WayExit exit;
} Results;

static Results results_for(const WayArgs* args) {
  Results r = {.as_json = args->value[OPTION_JSON] != NULL};
  if (r.as_json) way_json_open(&r.json, NULL, '[');
  return r;
}

static WayExit end_results(Results* r) {
  if (!r->as_json) return r->exit;
  way_json_close(&r->json, ']');
  return way_json_end(&r->json) ? WAY_EXIT_FAILED : r->exit;
}

static void refuse(Results* r, WayText text, const WayError* error) {
  r->exit = WAY_EXIT_FAILED;
  if (r->as_json)
    way_json_put(&r->json, NULL, way_cli_refused_json(text, error));
  else
    way_cli_print_refused(text, error);
}

static void add_scale(Results* r, WayText text) {
  WayScale scale;
  WayError error;
  if (way_scale_read(text, &scale, &error)) {
    refuse(r, text, &error);
  } else if (r->as_json) {
    way_json_put(&r->json, NULL, way_cli_given_json(text, scale_json(&scale)));
  } else {
    print_scale(&scale, "");
  }
}

// The words `NAME ROOT` (or `ROOT NAME`) in the order of the lines of standard input.
static void add_words(const WayArgs* args, Results* r) {
  size_t room = 1;
  for (uint32_t i = 0; i < args->n; ++i) room += strlen(args->words[i]) + 1;
  char* const text = malloc(room);
  if (!text) {
    r->exit = way_cli_failed("scale", "%s", way_strerror(WAY_ERR_NO_MEMORY));
    return;
  }
  WayOut out = way_out(text, room);
  const char* const last = args->words[args->n - 1];
  WayCursor c = way_cursor(way_text(last));
  WaySpelling tonic;
  const bool root_last = args->n > 1 && !way_spelling_read(&c, &tonic, NULL) &&
                         way_cursor_peek(&c) == WAY_TEXT_END;
  if (root_last) way_out_str(&out, last);
  for (uint32_t i = 0; i < args->n - root_last; ++i) {
    if (out.size) way_out_char(&out, ' ');
    way_out_str(&out, args->words[i]);
  }
  add_scale(r, way_text(text));
  free(text);
}

static bool parts_chords(uint32_t c) { return c == ' ' || c == '\t' || c == '|'; }

// Read the next chord symbol; `error` gets its place in the whole text.
static WayStatus read_chord(WayCursor* c, WayChord* out, WayError* error) {
  const WayCursor start = *c;
  while (way_cursor_peek(c) != WAY_TEXT_END && !parts_chords(way_cursor_peek(c)))
    way_cursor_next(c);
  const WayText symbol = {c->text.at + start.byte, c->byte - start.byte};
  const WayStatus st = way_chord_read(symbol, out, error);
  if (st) {
    error->byte += start.byte;
    error->column += start.column - 1;
  }
  return st;
}

// Read all chord symbols of a text, up to `room`.
static WayStatus read_chords(WayText text, WayChord* out, size_t room, size_t* n,
                             WayError* error) {
  WayCursor c = way_cursor(text);
  for (;;) {
    while (parts_chords(way_cursor_peek(&c))) way_cursor_next(&c);
    if (way_cursor_peek(&c) == WAY_TEXT_END) break;
    if (*n == room)
      return way_cursor_fail(&c, WAY_ERR_FULL, "expected fewer chords", error);
    const WayStatus st = read_chord(&c, &out[*n], error);
    if (st) return st;
    *n += !way_chord_is_none(&out[*n]);
  }
  if (!*n) return way_cursor_fail(&c, WAY_ERR_SYNTAX, "expected a chord symbol", error);
  return WAY_OK;
}

static void add_fit(Results* r, const WayScaleFit* fit) {
  char reason[192];
  WayOut out = way_out(reason, sizeof(reason));
  way_scale_fit_write(fit, &out);
  if (!r->as_json) {
    print_scale(&fit->scale, reason);
    return;
  }
  json_t* const scale = scale_json(&fit->scale);
  json_object_set_new(scale, "reason", json_string(reason));
  way_json_put(&r->json, NULL, scale);
}

static void add_scales_of(WayText text, Results* r) {
  WayChord chords[256];
  size_t n = 0;
  WayError error;
  if (read_chords(text, chords, WAY_COUNT(chords), &n, &error)) {
    refuse(r, text, &error);
    return;
  }
  WayScaleFit* const fits = malloc(WAY_SCALE_FITS_MAX * sizeof(*fits));
  if (!fits) {
    r->exit = way_cli_failed("scale", "%s", way_strerror(WAY_ERR_NO_MEMORY));
    return;
  }
  const size_t found = way_scale_fit(chords, n, fits, WAY_SCALE_FITS_MAX);
  for (size_t i = 0; i < found; ++i) add_fit(r, &fits[i]);
  free(fits);
}

static void add_lines(const WayArgs* args, Results* r) {
  WayInputs inputs = {.args = args};
  for (WayText line; way_cli_next(&inputs, &line);)
    if (way_text_trim(line).size) add_scale(r, line);
}

static WayExit run(const WayArgs* args) {
  const bool list = args->value[OPTION_LIST] != NULL;
  const char* const of = args->value[OPTION_OF];
  if ((args->n != 0) + list + (of != NULL) != 1)
    return way_cli_usage(args, "expected either NAME ROOT, -, --list or --of");
  if (args->n == 1 && strcmp(args->words[0], "-") && !strchr(args->words[0], ' '))
    return way_cli_usage(args, "expected NAME ROOT, such as dorian D, not '%s'",
                         args->words[0]);
  if (list) return list_scales(args);
  Results r = results_for(args);
  if (of)
    add_scales_of(way_text(of), &r);
  else if (args->n == 1 && !strcmp(args->words[0], "-"))
    add_lines(args, &r);
  else
    add_words(args, &r);
  return end_results(&r);
}

static const WayOption options[] = {
    {"list", 'l', NULL, "Print all scales: name, degrees, family, other names"},
    {"of", 0, "CHORDS", "Print the scales that hold all these chords, best first"},
    {"json", 'j', NULL, "Print JSON"},
    {0},
};

const WayCommand way_cmd_scale = {
    .name = "scale",
    .words = "NAME ROOT | -",
    .help = "Print the notes of a scale, or the scales of some chords",
    .more =
        "NAME is a scale's name or one of its other names, such as dorian or minor\n"
        "blues; ROOT is a note.  With - each line of standard input is ROOT NAME.\n"
        "Prints a line for each scale, its columns separated by tabs: name, root,\n"
        "lowest note, notes, degrees, pitch classes (C is 0).  --of adds a column "
        "that\n"
        "says why the scale stands there: the notes it adds to the chords' own, and "
        "what\n"
        "speaks for its root.\n"
        "Where the input can't be read the line is: input, 'error', column, message.\n",
    .options = options,
    .most = WAY_ANY_WORDS,
    .run = run,
};
