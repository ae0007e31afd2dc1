// `waymark numeral`: what numerals mean in a key, and the numerals of chords.
#include "cli/cli.h"
#include "cli/words.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"
#include "theory/function.h"
#include "theory/numeral_read.h"
#include "theory/numeral_write.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { OPT_CHORDS, OPT_JSON };

static const WayOption options[] = {
    {"chords", 0, NULL, "The words are chord symbols: print their numerals"},
    {"json", 'j', NULL, "Print one JSON array"},
    {0},
};

/// Answers, as text or as the elements of a JSON array.
typedef struct {
  bool as_json;
  WayJson json;
  WayExit end;
} Answers;

static void refuse(Answers* a, WayText input, const WayError* error) {
  a->end = WAY_EXIT_FAILED;
  if (a->as_json)
    way_json_put(&a->json, NULL, way_cli_refused_json(input, error));
  else
    way_cli_print_refused(input, error);
}

/// A chord's symbol into `buffer` of #WAY_SYMBOL_MAX bytes; returns it.
static const char* symbol_of(const WayChord* c, char* buffer) {
  WayOut out = way_out(buffer, WAY_SYMBOL_MAX);
  way_chord_write(c, &out);
  return buffer;
}

static void print_chord(const WayChord* c) {
  char text[WAY_SYMBOL_MAX];
  printf("%s\t", symbol_of(c, text));
  if (!way_chord_is_none(c)) fputs(way_cli_note(text, c->bass), stdout);
  for (unsigned i = 0; i < c->n_tones; ++i)
    printf("%c%s", i ? ' ' : '\t',
           way_cli_note(text, way_spelling_above(c->root, c->tones[i])));
  for (unsigned i = 0; i < c->n_tones; ++i)
    printf("%c%d", i ? ' ' : '\t',
           way_spelling_pc(way_spelling_above(c->root, c->tones[i])));
  puts(way_chord_is_none(c) ? "\t\t" : "");
}

static json_t* chord_json(const WayChord* c, WayKey key) {
  char text[WAY_SYMBOL_MAX];
  json_t *const tones = json_array(), *const pcs = json_array();
  for (unsigned i = 0; i < c->n_tones; ++i) {
    const WaySpelling tone = way_spelling_above(c->root, c->tones[i]);
    json_array_append_new(tones, json_string(way_cli_note(text, tone)));
    json_array_append_new(pcs, json_integer(way_spelling_pc(tone)));
  }
  const char* const function = way_function_name(way_function(c, NULL, key));
  json_t* const o =
      json_pack("{s:s, s:s, s:o, s:o}", "symbol", symbol_of(c, text), "function",
                function, "tones", tones, "pitch_classes", pcs);
  if (!way_chord_is_none(c))
    json_object_set_new(o, "bass", json_string(way_cli_note(text, c->bass)));
  return o;
}

static void answer_numeral(Answers* a, WayText numeral, WayKey key) {
  WayChord c;
  WayError error;
  if (way_numeral_read(numeral, key, &c, &error))
    refuse(a, numeral, &error);
  else if (a->as_json)
    way_json_put(&a->json, NULL, way_cli_given_json(numeral, chord_json(&c, key)));
  else
    print_chord(&c);
}

/// A line `KEY<TAB>NUMERAL`, or a numeral in the key given before.
static void answer_line(Answers* a, WayText line, const WayKey* given) {
  const char* const tab = memchr(line.at, '\t', line.size);
  WayError error;
  if (!tab && given) {
    answer_numeral(a, line, *given);
  } else if (!tab) {
    WayCursor end = way_cursor(line);
    while (way_cursor_peek(&end) != WAY_TEXT_END) way_cursor_next(&end);
    way_cursor_fail(&end, WAY_ERR_SYNTAX, "expected a tab and a numeral", &error);
    refuse(a, line, &error);
  } else {
    const size_t size = (size_t)(tab - line.at);
    const WayText key_text = {line.at, size};
    WayKey key;
    if (way_key_read(key_text, &key, &error))
      refuse(a, key_text, &error);
    else
      answer_numeral(a, (WayText){tab + 1, line.size - size - 1}, key);
  }
}

static void answer_chord(Answers* a, WayText symbol, const WayChord* c,
                         const WayChord* next, WayKey key) {
  char numeral[WAY_NUMERAL_MAX];
  WayOut out = way_out(numeral, sizeof(numeral));
  way_numeral_write(c, next, key, &out);
  const char* const function = way_function_name(way_function(c, next, key));
  if (a->as_json)
    way_json_put(&a->json, NULL,
                 way_cli_given_json(symbol, json_pack("{s:s, s:s}", "numeral", numeral,
                                                      "function", function)));
  else
    printf("%s\t%s\n", numeral, function);
}

/// A chord that waits for the one after it, which helps to name it.
typedef struct {
  char* symbol; ///< As given; NULL: none waits
  WayChord chord;
} Waiting;

static void answer_waiting(Answers* a, Waiting* w, const WayChord* next, WayKey key) {
  if (w->symbol) answer_chord(a, way_text(w->symbol), &w->chord, next, key);
  free(w->symbol);
  w->symbol = NULL;
}

/// Numerals of the chords that are given.
static void answer_chords(Answers* a, WayInputs* inputs, WayKey key) {
  Waiting waiting = {.symbol = NULL};
  for (WayText symbol; way_cli_next(inputs, &symbol);) {
    WayChord c;
    WayError error;
    const WayStatus st = way_chord_read(symbol, &c, &error);
    answer_waiting(a, &waiting, st ? NULL : &c, key);
    if (st) {
      refuse(a, symbol, &error);
      continue;
    }
    waiting = (Waiting){strndup(symbol.at, symbol.size), c};
    if (!waiting.symbol)
      a->end = way_cli_failed("numeral", "%s", way_strerror(WAY_ERR_NO_MEMORY));
  }
  answer_waiting(a, &waiting, NULL, key);
}

static WayExit run(const WayArgs* args) {
  const bool lines_have_keys = !strcmp(args->words[0], "-");
  const bool chords = args->value[OPT_CHORDS] != NULL;
  if (lines_have_keys ? args->n > 1 || chords : args->n < 2)
    return way_cli_usage(args, "expected %s", args->command->words);
  WayKey key;
  WayError error;
  if (!lines_have_keys && way_key_read(way_text(args->words[0]), &key, &error))
    return way_cli_usage(args, "'%s' is not a key: %s", args->words[0], error.message);
  Answers a = {.as_json = args->value[OPT_JSON] != NULL};
  if (a.as_json) way_json_open(&a.json, NULL, '[');
  WayInputs inputs = {args, lines_have_keys ? 0 : 1, {0}};
  if (chords)
    answer_chords(&a, &inputs, key);
  else
    for (WayText line; way_cli_next(&inputs, &line);)
      answer_line(&a, line, lines_have_keys ? NULL : &key);
  if (!a.as_json) return a.end;
  way_json_close(&a.json, ']');
  return way_json_end(&a.json) ? WAY_EXIT_FAILED : a.end;
}

const WayCommand way_cmd_numeral = {
    "numeral",
    "KEY NUMERAL...|-",
    "Tell what numerals mean in a key",
    "Prints one line a numeral, divided by tabs: the chord's symbol, bass, tones and\n"
    "pitch classes (0 is C).  A numeral that is not understood gives the numeral,\n"
    "'error', the column and what was expected there.  A lone '-' reads lines of a "
    "key,\n"
    "a tab and a numeral from standard input; 'KEY -' reads one a line.\n"
    "With --chords the words after the key are chord symbols in the order played, and\n"
    "each line is a numeral and its function.\n",
    options,
    1,
    WAY_ANY_WORDS,
    run};
