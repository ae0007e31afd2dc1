#include "cli/cli.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char* shown(const char* file) {
  return !*file ? "''" : strcmp(file, "-") ? file : "standard input";
}

WayExit way_cli_usage(const WayArgs* args, const char* format, ...) {
  fprintf(stderr, "waymark %s: ", args->command->name);
  va_list more;
  va_start(more, format);
  vfprintf(stderr, format, more);
  va_end(more);
  fprintf(stderr, "\nTry 'waymark %s --help'.\n", args->command->name);
  return WAY_EXIT_USAGE;
}

WayExit way_cli_number(const WayArgs* args, unsigned option, double least, double most,
                       double* out) {
  const char* const text = args->value[option];
  if (!text) return WAY_EXIT_OK;
  char* end;
  const double value = strtod(text, &end);
  if (end == text || *end || !(value >= least && value <= most))
    return way_cli_usage(args, "--%s: expected a number from %g to %g, not '%s'",
                         args->command->options[option].name, least, most, text);
  *out = value;
  return WAY_EXIT_OK;
}

WayExit way_cli_int(const WayArgs* args, unsigned option, int least, int most,
                    int* out) {
  const char* const text = args->value[option];
  if (!text) return WAY_EXIT_OK;
  char* end;
  errno = 0;
  const long value = strtol(text, &end, 10);
  if (end == text || *end || errno || value < least || value > most)
    return way_cli_usage(args, "--%s: expected a whole number from %d to %d, not '%s'",
                         args->command->options[option].name, least, most, text);
  *out = (int)value;
  return WAY_EXIT_OK;
}

WayExit way_cli_choice(const WayArgs* args, unsigned option, unsigned count,
                       const char* (*name)(unsigned), unsigned* out) {
  const char* const text = args->value[option];
  if (!text) return WAY_EXIT_OK;
  char names[512];
  WayOut list = way_out(names, sizeof(names));
  for (unsigned i = 0; i < count; ++i) {
    if (!strcmp(text, name(i))) {
      *out = i;
      return WAY_EXIT_OK;
    }
    way_out_str(&list, i ? ", " : "");
    way_out_str(&list, name(i));
  }
  return way_cli_usage(args, "--%s: expected one of %s, not '%s'",
                       args->command->options[option].name, names, text);
}

WayExit way_cli_needs(const WayArgs* args, unsigned option, const unsigned* others,
                      size_t n) {
  if (!args->value[option]) return WAY_EXIT_OK;
  char names[128];
  WayOut list = way_out(names, sizeof(names));
  for (size_t i = 0; i < n; ++i) {
    if (args->value[others[i]]) return WAY_EXIT_OK;
    way_out_str(&list, !i ? "--" : i + 1 < n ? ", --" : " or --");
    way_out_str(&list, args->command->options[others[i]].name);
  }
  return way_cli_usage(args, "--%s goes with %s", args->command->options[option].name,
                       names);
}

WayExit way_cli_excludes(const WayArgs* args, unsigned option, const unsigned* others,
                         size_t n) {
  const WayOption* const options = args->command->options;
  for (size_t i = 0; args->value[option] && i < n; ++i)
    if (args->value[others[i]])
      return way_cli_usage(args, "--%s and --%s do not go together",
                           options[option].name, options[others[i]].name);
  return WAY_EXIT_OK;
}

WayExit way_cli_failed(const char* file, const char* format, ...) {
  fprintf(stderr, "%s: ", shown(file));
  va_list more;
  va_start(more, format);
  vfprintf(stderr, format, more);
  va_end(more);
  fputc('\n', stderr);
  return WAY_EXIT_FAILED;
}

WayExit way_cli_error(const char* file, const WayError* error) {
  const char* const what =
      error->message[0] ? error->message : way_strerror(error->status);
  if (error->line)
    fprintf(stderr, "%s:%u:%u: %s\n", shown(file), error->line, error->column, what);
  else if (error->byte || error->status == WAY_ERR_FORMAT)
    fprintf(stderr, "%s: byte %zu: %s\n", shown(file), error->byte, what);
  else
    fprintf(stderr, "%s: %s\n", shown(file), what);
  return WAY_EXIT_FAILED;
}

bool way_cli_line(WayLines* lines, WayText* out) {
  const ssize_t got = getline(&lines->line, &lines->room, stdin);
  if (got < 0) {
    if (ferror(stdin)) way_cli_failed("-", "%s", strerror(errno));
    free(lines->line);
    *lines = (WayLines){0};
    return false;
  }
  size_t size = (size_t)got;
  if (size && lines->line[size - 1] == '\n') --size;
  if (size && lines->line[size - 1] == '\r') --size;
  ++lines->number;
  *out = (WayText){lines->line, size};
  return true;
}

bool way_cli_next(WayInputs* inputs, WayText* out) {
  const WayArgs* const args = inputs->args;
  const uint32_t at = inputs->next;
  if (at + 1 == args->n && !strcmp(args->words[at], "-"))
    return way_cli_line(&inputs->lines, out);
  if (at >= args->n) return false;
  *out = way_text(args->words[inputs->next++]);
  return true;
}

void way_cli_progress(const char* text) {
  if (isatty(STDERR_FILENO)) fprintf(stderr, "\r\033[K%s", text ? text : "");
}
