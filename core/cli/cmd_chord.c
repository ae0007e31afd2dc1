// `waymark chord`: what chord symbols mean.
#include "cli/cli.h"
#include "cli/words.h"
#include "theory/chord_kind.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"

#include <stdio.h>

enum { OPT_SIMPLE, OPT_JSON };

static const WayOption options[] = {
    {"spell-simple", 0, NULL, "Spell for reading at sight: one accidental at most"},
    {"json", 'j', NULL, "Print one JSON array"},
    {0},
};

/// A note as it is to be shown.
static WaySpelling shown_note(WaySpelling note, bool simple) {
  return simple ? way_spelling_simple(note) : note;
}

/// The same chord on a root that is easy to read.
static WayChord on_simple_root(const WayChord* c) {
  return way_chord_transposed(c, c->root, way_spelling_simple(c->root));
}

static void print_chord(const WayChord* c, bool simple) {
  char text[WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(c, &out);
  printf("%s\t", text);
  if (way_chord_is_none(c)) {
    puts("\t\t\t\t");
    return;
  }
  printf("%s\t", way_cli_note(text, c->root));
  printf("%s\t", way_cli_note(text, c->bass));
  for (unsigned i = 0; i < c->n_tones; ++i)
    printf("%s%s", i ? " " : "",
           way_cli_note(text,
                        shown_note(way_spelling_above(c->root, c->tones[i]), simple)));
  for (unsigned i = 0; i < c->n_tones; ++i)
    printf("%c%s", i ? ' ' : '\t', way_cli_degree(text, c->tones[i]));
  for (unsigned i = 0; i < c->n_tones; ++i)
    printf("%c%d", i ? ' ' : '\t',
           way_spelling_pc(way_spelling_above(c->root, c->tones[i])));
  putchar('\n');
}

static json_t* chord_json(const WayChord* c, bool simple) {
  char text[WAY_SYMBOL_MAX];
  json_t *const tones = json_array(), *const degrees = json_array(),
                *const pcs = json_array();
  for (unsigned i = 0; i < c->n_tones; ++i) {
    const WaySpelling tone = way_spelling_above(c->root, c->tones[i]);
    json_array_append_new(tones,
                          json_string(way_cli_note(text, shown_note(tone, simple))));
    json_array_append_new(degrees, json_string(way_cli_degree(text, c->tones[i])));
    json_array_append_new(pcs, json_integer(way_spelling_pc(tone)));
  }
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(c, &out);
  json_t* const o = json_pack("{s:s, s:o, s:o, s:o}", "symbol", text, "tones", tones,
                              "degrees", degrees, "pitch_classes", pcs);
  if (way_chord_is_none(c)) return o;
  json_object_set_new(o, "root", json_string(way_cli_note(text, c->root)));
  json_object_set_new(o, "bass", json_string(way_cli_note(text, c->bass)));
  json_object_set_new(o, "basic_tones", json_integer(c->n_basic));
  json_object_set_new(o, "kind", json_string(way_chord_kind_name(way_chord_kind(c))));
  return o;
}

static WayExit run(const WayArgs* args) {
  const bool simple = args->value[OPT_SIMPLE] != NULL;
  const bool as_json = args->value[OPT_JSON] != NULL;
  WayJson json = {0};
  WayExit end = WAY_EXIT_OK;
  WayInputs inputs = {args, 0, {0}};
  if (as_json) way_json_open(&json, NULL, '[');
  for (WayText symbol; way_cli_next(&inputs, &symbol);) {
    WayChord c;
    WayError error;
    const WayStatus st = way_chord_read(symbol, &c, &error);
    if (st) end = WAY_EXIT_FAILED;
    if (!st && simple) {
      c = on_simple_root(&c);
      c.bass = way_spelling_simple(c.bass);
    }
    if (as_json)
      way_json_put(&json, NULL,
                   st ? way_cli_refused_json(symbol, &error)
                      : way_cli_given_json(symbol, chord_json(&c, simple)));
    else if (st)
      way_cli_print_refused(symbol, &error);
    else
      print_chord(&c, simple);
  }
  if (!as_json) return end;
  way_json_close(&json, ']');
  return way_json_end(&json) ? WAY_EXIT_FAILED : end;
}

const WayCommand way_cmd_chord = {
    "chord",
    "SYMBOL...|-",
    "Tell what chord symbols mean",
    "Prints one line a symbol, divided by tabs: the symbol as understood, root, bass,\n"
    "tones, degrees and pitch classes (0 is C).  A symbol that is not understood "
    "gives\n"
    "the symbol, 'error', the column and what was expected there.  With '-' the "
    "symbols\n"
    "are read from standard input, one a line.\n",
    options,
    1,
    WAY_ANY_WORDS,
    run};
