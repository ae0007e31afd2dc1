#include "cli/board.h"

#include <stdio.h>
#include <string.h>

static WayExit read_frets(const WayArgs* args, const char* text, WayFretboard* board) {
  unsigned first, last;
  char more;
  if (sscanf(text, "%3u-%3u%c", &first, &last, &more) != 2 || first >= last ||
      last > WAY_FRET_MAX)
    return way_cli_usage(args, "--frets: expected hand, or A-B from 0 to %u, not '%s'",
                         WAY_FRET_MAX, text);
  if (last <= board->capo)
    return way_cli_usage(args, "--frets: %s lies below the capo", text);
  board->first = (uint8_t)first;
  board->last = (uint8_t)last;
  return WAY_EXIT_OK;
}

WayExit way_cli_board(const WayArgs* args, const WayBoardOptions* options,
                      WayFretboard* out, bool* window) {
  WayError error = {.status = WAY_OK};
  int capo = 0;
  const unsigned fretted[] = {options->tuning, options->capo, options->left,
                              options->frets};
  if (way_cli_excludes(args, options->keyboard, fretted, WAY_COUNT(fretted)))
    return WAY_EXIT_USAGE;
  const char* const tuning = args->value[options->tuning];
  const char* const frets = args->value[options->frets];
  if (tuning && way_tuning_read(way_text(tuning), &out->tuning, &error))
    return way_cli_usage(args, "--tuning: column %u: %s", error.column, error.message);
  if (way_cli_int(args, options->capo, 0, 24, &capo)) return WAY_EXIT_USAGE;
  out->capo = (uint8_t)capo;
  out->left = args->value[options->left] != NULL;
  *window = frets && strcmp(frets, "hand");
  return *window ? read_frets(args, frets, out) : WAY_EXIT_OK;
}
