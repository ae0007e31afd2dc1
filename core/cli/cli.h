// What every command shares: its description, its arguments, its messages.
#ifndef WAY_CLI_CLI_H
#define WAY_CLI_CLI_H

#include "base/text.h"

/// How the program ends.
typedef enum {
  WAY_EXIT_OK,     ///< All went well
  WAY_EXIT_FAILED, ///< Well asked, but it could not be done; a message says why
  WAY_EXIT_USAGE,  ///< Not a proper command line
} WayExit;

/// One option of a command.  A table of them ends with an entry without a name.
typedef struct {
  const char* name;  ///< Long name, without the dashes
  char letter;       ///< Short name, or 0
  const char* value; ///< What help calls its value; NULL for a plain switch
  const char* help;  ///< One line
} WayOption;

/// Most options a command can have.
#define WAY_OPTIONS_MAX 48u
/// In WayCommand.most: any number of words.
#define WAY_ANY_WORDS 0xFFFFFFFFu

/// A command line, taken apart.  Borrows from `argv`.
typedef struct {
  const char* value[WAY_OPTIONS_MAX]; ///< By option: its value ("" for a switch), or
                                      ///< NULL if not given; the last one counts
  char** words;                       ///< What is not an option
  uint32_t n;                         ///< How many words
  const struct WayCommand* command;
} WayArgs;

/**
   One command.

   Its file defines `const WayCommand way_cmd_<name>`; commands.h lists it.
*/
typedef struct WayCommand {
  const char* name;
  const char* words;        ///< The words it takes, as help shows them
  const char* help;         ///< One line
  const char* more;         ///< More lines of help, each ended by \n; NULL for none
  const WayOption* options; ///< Ended by an entry without a name; NULL for none
  uint32_t least, most;     ///< How many words are in order
  WayExit (*run)(const WayArgs* args);
} WayCommand;

/**
   Say on stderr that the command line is not proper, and how to learn more.

   @return #WAY_EXIT_USAGE, to be returned in turn.
*/
WayExit way_cli_usage(const WayArgs* args, const char* format, ...)
    __attribute__((format(printf, 2, 3)));
/**
   Read an option's value as a number.

   @param out Left untouched if the option was not given, or on error.
   @return #WAY_EXIT_OK, or #WAY_EXIT_USAGE after a message.
*/
WayExit way_cli_number(const WayArgs* args, unsigned option, double least, double most,
                       double* out);
/// The same for a whole number.
WayExit way_cli_int(const WayArgs* args, unsigned option, int least, int most,
                    int* out);
/**
   Read an option's value as one of the names 0..count-1.

   @param name Gives the name of each, as `way_material_name` does.
   @param out  Left untouched if the option was not given, or on error.
   @return #WAY_EXIT_OK, or #WAY_EXIT_USAGE after a message that lists the names.
*/
WayExit way_cli_choice(const WayArgs* args, unsigned option, unsigned count,
                       const char* (*name)(unsigned), unsigned* out);

/**
   See that an option which says more about others does not stand alone.

   @param others The options; one of them is to be given if `option` is.
   @return #WAY_EXIT_OK, or #WAY_EXIT_USAGE after a message.
*/
WayExit way_cli_needs(const WayArgs* args, unsigned option, const unsigned* others,
                      size_t n);
/**
   See that an option is not given together with others that it rules out.

   @param others The options; none of them is to be given if `option` is.
   @return #WAY_EXIT_OK, or #WAY_EXIT_USAGE after a message that names the first.
*/
WayExit way_cli_excludes(const WayArgs* args, unsigned option, const unsigned* others,
                         size_t n);

/// Say on stderr what went wrong with `file` (`-` is standard input).
/// @return #WAY_EXIT_FAILED, to be returned in turn.
WayExit way_cli_failed(const char* file, const char* format, ...)
    __attribute__((format(printf, 2, 3)));
/**
   Say on stderr where a reader stopped in `file`: `FILE:LINE:COLUMN: message`, or
   `FILE: byte N: message` where the input has no lines, or without a place if the
   error is about the whole of it.

   @return #WAY_EXIT_FAILED, to be returned in turn.
*/
WayExit way_cli_error(const char* file, const WayError* error);

/// Lines of standard input.  Starts as `{0}`.
typedef struct {
  char* line;      ///< The newest line
  size_t room;     ///< Bytes at `line`
  uint32_t number; ///< Its number, from 1
} WayLines;

/**
   The next line of standard input, without its end.

   Where it cannot be read a message is given, and main() ends with #WAY_EXIT_FAILED.

   @param out Borrowed until the next call; may hold any bytes.
   @return Whether there was one; at the end all memory is given back.
*/
bool way_cli_line(WayLines* lines, WayText* out);

/// Inputs given as words, or, where the only word is `-`, as lines of standard input.
/// Starts as `{args, first word}`.
typedef struct {
  const WayArgs* args;
  uint32_t next; ///< Index of the next word
  WayLines lines;
} WayInputs;

/// The next input; false after the last.  Borrowed until the next call.
bool way_cli_next(WayInputs* inputs, WayText* out);

/// Rewrite the line of progress on stderr, if that is a terminal; NULL clears it.
void way_cli_progress(const char* text);

#endif
