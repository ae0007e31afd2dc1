// `waymark log`: the practice log.
#include "cli/commands.h"
#include "cli/file.h"
#include "cli/json.h"
#include "cli/log_file.h"
#include "draw/trend.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DB, COMPARE, SVG, CSV, JSON };
static const WayOption options[] = {
    {"db", 0, "FILE", "The practice log, if not that of the user"},
    {"compare", 0, NULL, "Set two takes side by side; the words are their numbers"},
    {"svg", 0, "FILE", "Draw the trends as a picture instead"},
    {"csv", 0, "FILE", "Write all takes as a table instead"},
    {"json", 'j', NULL, "Print one JSON document"},
    {0}};

/// What was read from the log.
typedef struct {
  WayLog* log;
  char path[WAY_LOG_PATH_MAX];
  WayLogTake* takes;
  uint32_t n;
  WayDay* days;
  uint32_t n_days;
} Book;

static WayExit refused(const Book* book, const WayError* error) {
  return way_cli_failed(book->path, "%s", error->message);
}

static WayExit read_book(const char* tune, Book* book) {
  WayError error = {.status = WAY_OK};
  if (way_log_list(book->log, tune, &book->takes, &book->n, &error) ||
      way_log_days(book->log, &book->days, &book->n_days, &error))
    return refused(book, &error);
  if (tune && !book->n) return way_cli_failed(book->path, "no takes of '%s' yet", tune);
  return WAY_EXIT_OK;
}

static void free_book(Book* book) {
  way_log_close(book->log);
  free(book->takes);
  free(book->days);
}

// ---- As text.

/// `48 %`, or `-` where there is nothing to measure.
static const char* value_text(const WayLogTake* t, WayMeasure m, char text[24]) {
  double value;
  if (!way_measure(t, m, &value))
    snprintf(text, 24, "-");
  else if (way_measure_is_share(m))
    snprintf(text, 24, "%.0f %%", 100 * value);
  else
    snprintf(text, 24, "%.2f", value);
  return text;
}

/// How many takes one trend line of text shows: the latest.
#define LINE_MAX_TAKES 48u

/// One line of bars, take by take, from nothing to all for shares and to the greatest
/// value for others.
static void print_trend(const WayLogTake* takes, uint32_t n, WayMeasure m) {
  static const char* const bars[] = {"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
  const uint32_t first = n > LINE_MAX_TAKES ? n - LINE_MAX_TAKES : 0;
  double top = way_measure_is_share(m) ? 1 : 0, value;
  bool any = false;
  for (uint32_t i = first; i < n; ++i)
    if (way_measure(&takes[i], m, &value)) {
      if (value > top) top = value;
      any = true;
    }
  if (!any) return;
  printf("  %-30s  ", way_measure_label(m));
  for (uint32_t i = first; i < n; ++i)
    if (way_measure(&takes[i], m, &value))
      fputs(bars[top > 0 ? (int)(7 * value / top + 0.5) : 0], stdout);
    else
      putchar(' ');
  char from[24], to[24];
  printf("  %s", value_text(&takes[first], m, from));
  if (n - first > 1) printf(" to %s", value_text(&takes[n - 1], m, to));
  putchar('\n');
}

static void print_tune(const WayLogTake* takes, uint32_t n) {
  printf("\n%s, in %s: %u take%s\n", takes->tune, takes->key, n, n == 1 ? "" : "s");
  puts("  take  day         bars  notes   basic  landed basic  on time  planned met  "
       "file");
  for (uint32_t i = 0; i < n; ++i) {
    const WayLogTake* const t = &takes[i];
    char basic[24], landed[24], arrived[24], planned[32] = "-";
    if (t->figures[WAY_FIGURE_TARGETS] > 0)
      snprintf(planned, sizeof(planned), "%.0f of %.0f",
               t->figures[WAY_FIGURE_TARGETS_MET], t->figures[WAY_FIGURE_TARGETS]);
    printf("  %4lld  %s  %4.0f  %5.0f  %6s  %12s  %7s  %11s  %s\n", (long long)t->id,
           t->day.text, t->figures[WAY_FIGURE_BARS], t->figures[WAY_FIGURE_NOTES],
           value_text(t, WAY_MEASURE_BASIC, basic),
           value_text(t, WAY_MEASURE_LANDED, landed),
           value_text(t, WAY_MEASURE_ARRIVED, arrived), planned, t->take);
  }
  if (n < 2) return;
  for (unsigned m = 0; m < WAY_MEASURE_COUNT; ++m) print_trend(takes, n, (WayMeasure)m);
}

static uint32_t takes_of_tune(const Book* book, uint32_t first) {
  uint32_t n = 1;
  while (first + n < book->n &&
         !strcmp(book->takes[first].tune, book->takes[first + n].tune))
    ++n;
  return n;
}

static WayExit print_book(const Book* book) {
  uint32_t row = 0;
  const uint32_t longest = way_days_in_a_row(book->days, book->n_days, &row);
  if (!book->n) {
    puts("No takes yet; 'waymark review --log' stores some.");
    return WAY_EXIT_OK;
  }
  printf(
      "%u take%s; %u day%s with takes, the last %s: %u in a row up to it, longest row "
      "%u\n",
      book->n, book->n == 1 ? "" : "s", book->n_days, book->n_days == 1 ? "" : "s",
      book->days[book->n_days - 1].text, row, longest);
  for (uint32_t i = 0; i < book->n; i += takes_of_tune(book, i))
    print_tune(&book->takes[i], takes_of_tune(book, i));
  return WAY_EXIT_OK;
}

// ---- As JSON.

static json_t* take_json(const WayLogTake* t) {
  json_t* const out =
      json_pack("{s:I, s:s, s:s, s:s, s:s}", "id", (json_int_t)t->id, "day",
                t->day.text, "tune", t->tune, "key", t->key, "take", t->take);
  for (unsigned i = 0; i < WAY_FIGURE_COUNT; ++i)
    json_object_set_new(out, way_figure_name((WayFigure)i), json_real(t->figures[i]));
  return out;
}

static WayExit print_json(const Book* book) {
  uint32_t row = 0;
  const uint32_t longest = way_days_in_a_row(book->days, book->n_days, &row);
  json_t* const takes = json_array();
  for (uint32_t i = 0; i < book->n; ++i)
    json_array_append_new(takes, take_json(&book->takes[i]));
  json_t* const days = json_array();
  for (uint32_t i = 0; i < book->n_days; ++i)
    json_array_append_new(days, json_string(book->days[i].text));
  return way_json_print(json_pack("{s:o, s:o, s:i, s:i}", "takes", takes, "days", days,
                                  "days_in_a_row", (int)row, "longest_row",
                                  (int)longest));
}

// ---- To files.

static void put_field(const char* text, FILE* to) {
  putc('"', to);
  for (; *text; ++text) {
    if (*text == '"') putc('"', to);
    putc(*text, to);
  }
  putc('"', to);
}

static void put_row(const WayLogTake* t, FILE* to) {
  fprintf(to, "%lld,%s,", (long long)t->id, t->day.text);
  put_field(t->tune, to);
  putc(',', to);
  put_field(t->key, to);
  putc(',', to);
  put_field(t->take, to);
  for (unsigned i = 0; i < WAY_FIGURE_COUNT; ++i) fprintf(to, ",%.10g", t->figures[i]);
  fputs("\r\n", to);
}

static WayExit write_csv(const char* name, const Book* book) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  if (!to) return way_cli_failed(name, "%s", way_strerror(WAY_ERR_NO_MEMORY));
  fputs("id,day,tune,key,take", to);
  for (unsigned i = 0; i < WAY_FIGURE_COUNT; ++i)
    fprintf(to, ",%s", way_figure_name((WayFigure)i));
  fputs("\r\n", to);
  for (uint32_t i = 0; i < book->n; ++i) put_row(&book->takes[i], to);
  const WayExit end = fclose(to)
                          ? way_cli_failed(name, "%s", way_strerror(WAY_ERR_NO_MEMORY))
                          : way_cli_write(name, text, size);
  free(text);
  return end;
}

static WayExit write_svg(const char* name, const Book* book) {
  char* bytes = NULL;
  size_t size = 0;
  const WayStatus st = way_trend(book->takes, book->n, book->days, book->n_days,
                                 WAY_CANVAS_SVG, &bytes, &size);
  if (st) return way_cli_failed(name, "%s", way_strerror(st));
  const WayExit end = way_cli_write(name, bytes, size);
  free(bytes);
  return end;
}

// ---- Two takes side by side.

static const WayLogTake* find(const Book* book, const char* word) {
  char* end;
  const long long id = strtoll(word, &end, 10);
  for (uint32_t i = 0; *word && !*end && i < book->n; ++i)
    if (book->takes[i].id == id) return &book->takes[i];
  return NULL;
}

typedef struct {
  const WayLogTake* take;
  WayLogLanded* landed;
  uint32_t n;
} Side;

static bool landed_on(const Side* s, const WayLogLanded* what) {
  for (uint32_t i = 0; i < s->n; ++i)
    if (!strcmp(s->landed[i].chord, what->chord) &&
        !strcmp(s->landed[i].degree, what->degree))
      return true;
  return false;
}

/// The tones that one take lands on and the other doesn't.
static void print_only(const Side* here, const Side* there) {
  uint32_t n = 0;
  for (uint32_t i = 0; i < here->n; ++i) {
    const WayLogLanded* const l = &here->landed[i];
    if (landed_on(there, l)) continue;
    if (!n) printf("Landed on in take %lld only:", (long long)here->take->id);
    printf("%s %s of %s", n++ ? "," : "", l->degree, l->chord);
  }
  if (n) putchar('\n');
}

static void print_measures(const Side sides[2]) {
  const WayLogTake *const a = sides[0].take, *const b = sides[1].take;
  for (unsigned m = 0; m < WAY_MEASURE_COUNT; ++m) {
    char left[24], right[24];
    double x = 0, y = 0;
    const bool both =
        way_measure(a, (WayMeasure)m, &x) && way_measure(b, (WayMeasure)m, &y);
    printf("%-30s  %12s  %12s", way_measure_label((WayMeasure)m),
           value_text(a, (WayMeasure)m, left), value_text(b, (WayMeasure)m, right));
    if (both && way_measure_is_share((WayMeasure)m))
      printf("  %+4.0f", 100 * (y - x));
    else if (both)
      printf("  %+.2f", y - x);
    putchar('\n');
  }
}

static WayExit print_compared(const Side sides[2]) {
  const WayLogTake *const a = sides[0].take, *const b = sides[1].take;
  char left[32], right[32];
  snprintf(left, sizeof(left), "take %lld", (long long)a->id);
  snprintf(right, sizeof(right), "take %lld", (long long)b->id);
  printf("%-30s  %12s  %12s\n", "", left, right);
  printf("%-30s  %12s  %12s\n", "day", a->day.text, b->day.text);
  printf("%-30s  %12s  %12s\n", "tune", a->tune, b->tune);
  static const WayFigure counts[] = {WAY_FIGURE_BARS, WAY_FIGURE_NOTES,
                                     WAY_FIGURE_LANDINGS, WAY_FIGURE_IN_REST};
  static const char* const labels[] = {"bars", "notes", "changes of chord",
                                       "of these in a rest"};
  for (size_t i = 0; i < WAY_COUNT(counts); ++i)
    printf("%-30s  %12.0f  %12.0f  %+4.0f\n", labels[i], a->figures[counts[i]],
           b->figures[counts[i]], b->figures[counts[i]] - a->figures[counts[i]]);
  print_measures(sides);
  print_only(&sides[0], &sides[1]);
  print_only(&sides[1], &sides[0]);
  return WAY_EXIT_OK;
}

static json_t* side_json(const Side* s) {
  json_t* const out = take_json(s->take);
  json_t* const landed = json_array();
  for (uint32_t i = 0; i < s->n; ++i)
    json_array_append_new(
        landed, json_pack("{s:s, s:s, s:i}", "chord", s->landed[i].chord, "degree",
                          s->landed[i].degree, "times", (int)s->landed[i].times));
  json_object_set_new(out, "landed_on", landed);
  return out;
}

static WayExit compare(const WayArgs* args, const Book* book) {
  Side sides[2] = {{NULL, NULL, 0}, {NULL, NULL, 0}};
  WayExit end = WAY_EXIT_OK;
  for (int i = 0; !end && i < 2; ++i) {
    WayError error = {.status = WAY_OK};
    sides[i].take = find(book, args->words[i]);
    if (!sides[i].take)
      end = way_cli_failed(book->path, "no take %s", args->words[i]);
    else if (way_log_landed(book->log, sides[i].take->id, &sides[i].landed, &sides[i].n,
                            &error))
      end = refused(book, &error);
  }
  if (!end && args->value[JSON])
    end =
        way_json_print(json_pack("[o, o]", side_json(&sides[0]), side_json(&sides[1])));
  else if (!end)
    end = print_compared(sides);
  free(sides[0].landed);
  free(sides[1].landed);
  return end;
}

// ---- The command.

/// See that no file asked for is the log.
static WayExit check_apart(const WayArgs* args, const char* log) {
  static const unsigned outputs[] = {SVG, CSV, JSON};
  return way_cli_files_apart(args, outputs, WAY_COUNT(outputs), &log, 1);
}

static WayExit show(const WayArgs* args, const Book* book) {
  if (args->value[COMPARE]) return compare(args, book);
  WayExit end = check_apart(args, book->path);
  if (!end && args->value[SVG]) end = write_svg(args->value[SVG], book);
  if (!end && args->value[CSV]) end = write_csv(args->value[CSV], book);
  if (end) return end;
  if (args->value[JSON]) return print_json(book);
  return args->value[SVG] || args->value[CSV] ? WAY_EXIT_OK : print_book(book);
}

static WayExit run(const WayArgs* args) {
  if (args->value[COMPARE] && args->n != 2)
    return way_cli_usage(args, "--compare takes the numbers of two takes");
  if (args->value[COMPARE] && (args->value[SVG] || args->value[CSV]))
    return way_cli_usage(args, "--svg and --csv do not go with --compare");
  if (!args->value[COMPARE] && args->n > 1)
    return way_cli_usage(args, "expected one tune at most; put its name in quotes");
  Book book = {.log = NULL};
  WayExit end = check_apart(args, NULL);
  if (!end) end = way_cli_log(args->value[DB], WAY_LOG_READ, &book.log, book.path);
  if (end) return end;
  end = read_book(args->value[COMPARE] || !args->n ? NULL : args->words[0], &book);
  if (!end) end = show(args, &book);
  free_book(&book);
  return end;
}

const WayCommand way_cmd_log = {
    .name = "log",
    .words = "[TUNE | --compare A B]",
    .help = "Show the practice log: takes by tune, trends, days in a row",
    .more = "'waymark review --log' stores takes; docs/review.md tells what is kept.\n",
    .options = options,
    .least = 0,
    .most = 2,
    .run = run,
};
