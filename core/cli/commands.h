// The commands, in the order of `waymark --help`: one line each.
#ifndef WAY_CLI_COMMANDS_H
#define WAY_CLI_COMMANDS_H

#include "cli/cli.h"

/// X(name) stands for `const WayCommand way_cmd_name` in cmd_name.c.
// clang-format off
#define WAY_COMMANDS(X) \
  X(chord) \
  X(name) \
  X(scale) \
  X(numeral) \
  X(chart) \
  X(map) \
  X(line) \
  X(show) \
  X(sheet) \
  X(run) \
  X(review) \
  X(log) \
  X(backing) \
  X(fit) \
  /* the last */
// clang-format on

#define WAY_COMMAND_DECLARE(name) extern const WayCommand way_cmd_##name;
WAY_COMMANDS(WAY_COMMAND_DECLARE)
#undef WAY_COMMAND_DECLARE

#endif
