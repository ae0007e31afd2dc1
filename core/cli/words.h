// Notes, degrees and refused inputs as the commands of theory show them.
#ifndef WAY_CLI_WORDS_H
#define WAY_CLI_WORDS_H

#include "cli/json.h"
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

/**
   Read an option's value as a key of MIDI: a note with its octave, or a number.

   @param out Left untouched if the option was not given, or on error.
   @return #WAY_EXIT_OK, or #WAY_EXIT_USAGE after a message.
*/
WayExit way_cli_pitch(const WayArgs* args, unsigned option, uint8_t* out);
/**
   The same for the two options that bound a range.

   @param low, high     The options.
   @param least, most   How many pitches the range may hold.
   @param from, to      Their values where they are not given; what they say.
   @return #WAY_EXIT_OK, or #WAY_EXIT_USAGE after a message.
*/
WayExit way_cli_range(const WayArgs* args, unsigned low, unsigned high, int least,
                      int most, uint8_t* from, uint8_t* to);

#endif
