// `waymark name`: the chords that notes make.
#include "cli/cli.h"
#include "cli/words.h"
#include "theory/chord_find.h"
#include "theory/chord_write.h"
#include "theory/note_list.h"
#include "theory/set_class.h"

#include <stdio.h>

enum { OPT_ROOTLESS, OPT_KEY, OPT_FOLLOW, OPT_JSON };

static const WayOption options[] = {
    {"rootless", 0, NULL, "The root is left out of the notes"},
    {"key", 'k', "KEY", "Spell and choose in this key, such as Eb or 'F# minor'"},
    {"follow", 0, NULL, "Choose among equals by the chord of the line before"},
    {"json", 'j', NULL, "Print one JSON array"},
    {0},
};

/// The names of one list of notes.
typedef struct {
  WayNoteList notes;
  WayFound names[WAY_FOUND_MAX];
  unsigned n;
} Answer;

static const char* symbol_of(char* buffer, const WayFound* f) {
  WayOut out = way_out(buffer, WAY_SYMBOL_MAX);
  way_chord_write(&f->chord, &out);
  return buffer;
}

/// The lowest note, as the best name spells it.
static const char* bass_of(char* buffer, const Answer* a) {
  const WayPc pc = a->notes.bass;
  WaySpelling bass = a->notes.written[pc];
  const WayChord* const best = a->n ? &a->names[0].chord : NULL;
  const WayDegree* const tone = best ? way_chord_tone_at(best, pc) : NULL;
  if (best && !a->names[0].rootless)
    bass = best->bass;
  else if (bass.letter < 0 && tone)
    bass = way_spelling_above(best->root, *tone);
  else if (bass.letter < 0)
    bass = way_key_spell((WayKey){{0, 0}, WAY_MODE_MAJOR}, pc);
  return way_cli_note(buffer, bass);
}

/// The notes as semitones above the lowest, and their set class.
static const char* set_of(char* buffer, const Answer* a) {
  const WayPcSet above = way_pcs_move(a->notes.set, 12u - a->notes.bass);
  WayOut out = way_out(buffer, WAY_SYMBOL_MAX);
  way_out_char(&out, '{');
  for (WayPc pc = 0; pc < 12; ++pc) {
    if (!way_pcs_has(above, pc)) continue;
    if (pc) way_out_char(&out, ' ');
    way_out_int(&out, pc);
  }
  way_out_str(&out, "} ");
  way_set_class_write(way_set_class(a->notes.set), &out);
  return buffer;
}

static void print_answer(const Answer* a) {
  char text[WAY_SYMBOL_MAX], note[WAY_SYMBOL_MAX];
  if (!a->n) {
    printf("no common name\t\t%s\t%s\n", bass_of(note, a), set_of(text, a));
    return;
  }
  printf("%s\t", symbol_of(text, &a->names[0]));
  printf("%s\t", way_cli_note(note, a->names[0].chord.root));
  printf("%s\t", bass_of(note, a));
  for (unsigned i = 0; i < a->n; ++i)
    printf("%s%s", i ? "|" : "", symbol_of(text, &a->names[i]));
  putchar('\n');
}

static json_t* name_json(const WayFound* f) {
  char text[WAY_SYMBOL_MAX];
  json_t *const degrees = json_array(), *const implied = json_array();
  const WayTones heard = f->heard;
  for (unsigned i = 0; i < f->chord.n_tones; ++i) {
    const WayDegree d = f->chord.tones[i];
    json_array_append_new(heard & WAY_TONE(d.number, d.alter) ? degrees : implied,
                          json_string(way_cli_degree(text, d)));
  }
  return json_pack(
      "{s:s, s:o, s:o, s:o}", "symbol", symbol_of(text, f), "root",
      json_string(way_cli_note((char[WAY_SPELLING_MAX]){0}, f->chord.root)), "heard",
      degrees, "implied", implied);
}

static json_t* answer_json(const Answer* a) {
  char text[WAY_SYMBOL_MAX];
  json_t *const names = json_array(), *const set = json_array();
  for (unsigned i = 0; i < a->n; ++i)
    json_array_append_new(names, name_json(&a->names[i]));
  for (WayPc i = 0; i < 12; ++i)
    if (way_pcs_has(a->notes.set, way_pc(a->notes.bass + i)))
      json_array_append_new(set, json_integer(i));
  json_t* const o = json_pack("{s:s, s:o, s:o}", "bass", bass_of(text, a), "above_bass",
                              set, "names", names);
  WayOut out = way_out(text, sizeof(text));
  way_set_class_write(way_set_class(a->notes.set), &out);
  json_object_set_new(o, "set_class", json_string(text));
  json_object_set_new(o, "name",
                      a->n ? json_string(symbol_of(text, &a->names[0])) : json_null());
  return o;
}

/// The inputs: all words together, or, for `-`, one list a line.
static bool next_input(WayInputs* inputs, WayOut* joined, WayText* out) {
  const WayArgs* const args = inputs->args;
  if (args->n == 1) return way_cli_next(inputs, out);
  if (inputs->next) return false;
  for (; inputs->next < args->n; ++inputs->next) {
    if (inputs->next) way_out_char(joined, ' ');
    way_out_str(joined, args->words[inputs->next]);
  }
  *out = (WayText){joined->at, joined->size};
  return true;
}

static WayExit run(const WayArgs* args) {
  WayKey key;
  const char* const key_text = args->value[OPT_KEY];
  WayError error;
  if (key_text && way_key_read(way_text(key_text), &key, &error))
    return way_cli_usage(args, "--key: %s, not '%s'", error.message, key_text);
  static char words[4096];
  WayOut joined = way_out(words, sizeof(words));
  const bool as_json = args->value[OPT_JSON] != NULL;
  WayJson json = {0};
  WayExit end = WAY_EXIT_OK;
  WayChord previous = way_chord_none();
  WayInputs inputs = {args, 0, {0}};
  if (as_json) way_json_open(&json, NULL, '[');
  for (WayText text; next_input(&inputs, &joined, &text);) {
    Answer a = {.n = 0};
    if (joined.cut) return way_cli_usage(args, "too many notes for one chord");
    if (way_note_list_read(text, &a.notes, &error)) {
      end = WAY_EXIT_FAILED;
      if (as_json)
        way_json_put(&json, NULL, way_cli_refused_json(text, &error));
      else
        way_cli_print_refused(text, &error);
      continue;
    }
    const WayFindHints hints = {key_text ? &key : NULL, &previous, a.notes.written,
                                args->value[OPT_ROOTLESS] != NULL};
    a.n = way_chord_find(a.notes.set, a.notes.bass, &hints, a.names);
    if (a.n && args->value[OPT_FOLLOW]) previous = a.names[0].chord;
    if (as_json)
      way_json_put(&json, NULL, way_cli_given_json(text, answer_json(&a)));
    else
      print_answer(&a);
  }
  if (!as_json) return end;
  way_json_close(&json, ']');
  return way_json_end(&json) ? WAY_EXIT_FAILED : end;
}

const WayCommand way_cmd_name = {
    "name",
    "NOTES...|-",
    "Name the chord that notes make",
    "NOTES are MIDI numbers or note names, with or without octave; the lowest is the\n"
    "bass.  Prints, divided by tabs: the best name, its root, the bass, and all names\n"
    "that are equally good, divided by '|'.  With '-' each line of standard input is\n"
    "a set of notes.  A set without a common name is shown in semitones above its "
    "bass,\n"
    "with the name of its set class.\n",
    options,
    1,
    WAY_ANY_WORDS,
    run};
