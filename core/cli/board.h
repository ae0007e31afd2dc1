// The options that choose an instrument, for all commands that draw one.
#ifndef WAY_CLI_BOARD_H
#define WAY_CLI_BOARD_H

#include "cli/cli.h"
#include "draw/fretboard.h"

/// Which of a command's options choose the fretboard, and which a keyboard instead.
typedef struct {
  unsigned tuning, capo, left, frets, keyboard;
} WayBoardOptions;

/**
   Read the options of a fretboard.  None of them goes together with the keyboard.

   @param out    Changed by what is given: tuning, capo, hand; with `A-B` the frets
                 shown.
   @param window Receives whether frets were given as `A-B`; they stay as they are with
                 `hand`, or without the option.
   @return #WAY_EXIT_OK, or #WAY_EXIT_USAGE after a message.
*/
WayExit way_cli_board(const WayArgs* args, const WayBoardOptions* options,
                      WayFretboard* out, bool* window);

#endif
