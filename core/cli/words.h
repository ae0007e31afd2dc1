// Notes, degrees and refused inputs as the commands of theory show them.
#ifndef WAY_CLI_WORDS_H
#define WAY_CLI_WORDS_H

#include "cli/cli.h"
#include "theory/spelling.h"

/// Write a note into `buffer` (at least #WAY_SPELLING_MAX bytes); returns it.
const char* way_cli_note(char* buffer, WaySpelling note);
/// Write a degree into `buffer` (at least #WAY_SPELLING_MAX bytes); returns it.
const char* way_cli_degree(char* buffer, WayDegree degree);
/// Print an input that was refused: input, `error`, column and message, between tabs.
/// Control characters of the input become blanks.
void way_cli_print_refused(WayText input, const WayError* error);
/// The same as an object `{"given", "error": {"column", "message"}}`.
json_t* way_cli_refused_json(WayText input, const WayError* error);
/// Put the input as `given` into an answer; returns `answer`.
json_t* way_cli_given_json(WayText input, json_t* answer);

#endif
