// The command `waymark`.
#include "cli/commands.h"

#include <errno.h>
#include <getopt.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WAY_COMMAND_ENTRY(name) &way_cmd_##name,
static const WayCommand* const commands[] = {WAY_COMMANDS(WAY_COMMAND_ENTRY) NULL};

static void print_usage(FILE* to) {
  fputs("usage: waymark COMMAND [OPTION...] [WORD...]\n"
        "A practice guide that knows what each note is to the chord of the moment.\n\n",
        to);
  for (const WayCommand* const* c = commands; *c; ++c)
    fprintf(to, "  %-9s %s\n", (*c)->name, (*c)->help);
  fputs(
      "\n'waymark COMMAND --help' tells more; 'waymark --version' prints the version.\n"
      "Ends with 0 if all went well, 1 if something could not be done, 2 if the\n"
      "command line was not proper.\n",
      to);
}

static void print_option(const WayOption* o) {
  char text[64];
  WayOut out = way_out(text, sizeof(text));
  way_out_str(&out, o->letter ? "-" : "    ");
  if (o->letter) {
    way_out_char(&out, o->letter);
    way_out_str(&out, ", ");
  }
  way_out_str(&out, "--");
  way_out_str(&out, o->name);
  if (o->value) {
    way_out_char(&out, ' ');
    way_out_str(&out, o->value);
  }
  printf("  %-28s %s\n", text, o->help);
}

static void print_help(const WayCommand* c) {
  printf("usage: waymark %s [OPTION...] %s\n%s.\n", c->name, c->words, c->help);
  if (c->more) printf("\n%s", c->more);
  putchar('\n');
  for (const WayOption* o = c->options; o && o->name; ++o) print_option(o);
  print_option(&(WayOption){"help", 0, NULL, "Print this and end"});
}

/// What getopt_long() returns for the option at an index of the command's table.
enum { OPTION_BASE = 256, OPTION_HELP = OPTION_BASE + WAY_OPTIONS_MAX };

/// Hand a command's options to getopt_long(); `letters` needs 2 bytes for each and 1.
static void list_options(const WayCommand* c, struct option* list, char* letters) {
  for (int i = 0; c->options && c->options[i].name; ++i) {
    const WayOption* const o = &c->options[i];
    *list++ = (struct option){o->name, o->value ? required_argument : no_argument, NULL,
                              OPTION_BASE + i};
    if (o->letter) *letters++ = o->letter;
    if (o->letter && o->value) *letters++ = ':';
  }
  *list++ = (struct option){"help", no_argument, NULL, OPTION_HELP};
  *list = (struct option){0};
  *letters = '\0';
}

/// Index of the option getopt_long() has found.
static int option_index(const WayCommand* c, int found) {
  if (found >= OPTION_BASE) return found - OPTION_BASE;
  int i = 0;
  while (c->options[i].letter != (char)found) ++i;
  return i;
}

static WayExit run_command(const WayCommand* c, int argc, char** argv) {
  struct option list[WAY_OPTIONS_MAX + 2];
  char letters[2 * WAY_OPTIONS_MAX + 1], called[64];
  list_options(c, list, letters);
  snprintf(called, sizeof(called), "waymark %s", c->name);
  argv[0] = called; // getopt_long() begins its messages with it
  WayArgs args = {.command = c};
  for (int found; (found = getopt_long(argc, argv, letters, list, NULL)) != -1;) {
    if (found == OPTION_HELP) {
      print_help(c);
      return WAY_EXIT_OK;
    }
    if (found == '?') {
      fprintf(stderr, "Try 'waymark %s --help'.\n", c->name);
      return WAY_EXIT_USAGE;
    }
    args.value[option_index(c, found)] = optarg ? optarg : "";
  }
  args.words = argv + optind;
  args.n = (uint32_t)(argc - optind);
  if (args.n < c->least) return way_cli_usage(&args, "expected %s", c->words);
  if (args.n > c->most)
    return way_cli_usage(&args, "'%s' is one word too many", args.words[c->most]);
  return c->run(&args);
}

static WayExit dispatch(int argc, char** argv) {
  const char* const name = argc > 1 ? argv[1] : "";
  for (const WayCommand* const* c = commands; *c; ++c)
    if (!strcmp(name, (*c)->name)) return run_command(*c, argc - 1, argv + 1);
  if (!strcmp(name, "--help")) {
    print_usage(stdout);
    return WAY_EXIT_OK;
  }
  if (!strcmp(name, "--version")) {
    puts("waymark " WAY_VERSION);
    return WAY_EXIT_OK;
  }
  if (*name)
    fprintf(stderr, "waymark: no %s '%s'\nTry 'waymark --help'.\n",
            *name == '-' ? "option" : "command", name);
  else
    print_usage(stderr);
  return WAY_EXIT_USAGE;
}

int main(int argc, char** argv) {
  signal(SIGXFSZ, SIG_IGN); // a file that grows too large is an error like any other
  const WayExit end = dispatch(argc, argv);
  if (fflush(stdout) || ferror(stdout))
    return (int)way_cli_failed("standard output", "%s", strerror(errno));
  return ferror(stdin) ? WAY_EXIT_FAILED : (int)end;
}
