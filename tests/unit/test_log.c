#include "take/log.h"

#include "check.h"
#include "played.h"

#include <sqlite3.h>
#include <stdio.h>
#include <sys/wait.h>
#include <unistd.h>

// ---- A folder for each test.

static char folder[] = "/tmp/waymark-log-XXXXXX";
static char path[64];

static int begin(void** state) {
  (void)state;
  memcpy(folder + sizeof(folder) - 7, "XXXXXX", 6);
  if (!mkdtemp(folder)) return -1;
  snprintf(path, sizeof(path), "%s/log.db", folder);
  return 0;
}

static int end(void** state) {
  (void)state;
  unlink(path);
  return rmdir(folder);
}

static void sql(const char* text) {
  sqlite3* db = NULL;
  assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
  char* message = NULL;
  if (sqlite3_exec(db, text, NULL, NULL, &message)) fail_msg("%s", message);
  sqlite3_close(db);
}

static int64_t number(const char* text) {
  sqlite3* db = NULL;
  sqlite3_stmt* s = NULL;
  assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
  assert_int_equal(sqlite3_prepare_v2(db, text, -1, &s, NULL), SQLITE_OK);
  assert_int_equal(sqlite3_step(s), SQLITE_ROW);
  const int64_t value = sqlite3_column_int64(s, 0);
  sqlite3_finalize(s);
  sqlite3_close(db);
  return value;
}

static WayLog* opened(WayLogAccess access) {
  WayLog* log = NULL;
  WayError e = {.status = WAY_OK};
  if (way_log_open(path, access, &log, &e)) fail_msg("%s", e.message);
  return log;
}

static void check_refused(WayStatus status, const char* message) {
  WayLog* log = NULL;
  WayError e = {.status = WAY_OK};
  assert_int_equal(way_log_open(path, WAY_LOG_WRITE, &log, &e), status);
  assert_null(log);
  assert_string_equal(e.message, message);
}

/// Store a take of one note; different notes make different takes.
static int64_t add(WayLog* log, const char* tune, const char* day, double start) {
  const Reviewed r =
      REVIEWED("key: D major\n| D | G>3 |\n", 0, 0, {start, 1, 66}, {start + 4, 1, 71});
  WayLogTake t = way_figures(r.review, 4, tune, "t.mid");
  snprintf(t.day.text, sizeof(t.day.text), "%s", day);
  int64_t id = 0;
  WayError e = {.status = WAY_OK};
  if (way_log_add(log, &t, r.review, &id, &e)) fail_msg("%s", e.message);
  reviewed_free(r);
  return id;
}

// ---- Storing and reading.

static void test_what_is_stored_is_read(void** state) {
  (void)state;
  WayLog* const log = opened(WAY_LOG_WRITE);
  const int64_t first = add(log, "Slack Tide", "2026-11-21", 0);
  add(log, "Net Loft", "2026-11-20", 0);
  add(log, "Slack Tide", "2026-11-20", 1);
  way_log_close(log);
  WayLog* const again = opened(WAY_LOG_READ);
  WayLogTake* takes = NULL;
  uint32_t n = 0;
  assert_int_equal(way_log_list(again, NULL, &takes, &n, NULL), WAY_OK);
  assert_int_equal(n, 3);
  assert_string_equal(takes[0].tune, "Net Loft");
  assert_string_equal(takes[1].day.text, "2026-11-20");
  assert_string_equal(takes[2].day.text, "2026-11-21");
  assert_true(takes[2].id == first);
  assert_true(takes[2].figures[WAY_FIGURE_NOTES] == 2);
  assert_true(takes[2].figures[WAY_FIGURE_TARGETS_MET] == 1);
  assert_string_equal(takes[2].key, "D major");
  free(takes);
  assert_int_equal(way_log_list(again, "slack tide", &takes, &n, NULL), WAY_OK);
  assert_int_equal(n, 2);
  free(takes);
  WayDay* days = NULL;
  assert_int_equal(way_log_days(again, &days, &n, NULL), WAY_OK);
  assert_int_equal(n, 2);
  assert_string_equal(days[0].text, "2026-11-20");
  free(days);
  WayLogLanded* landed = NULL;
  assert_int_equal(way_log_landed(again, first, &landed, &n, NULL), WAY_OK);
  assert_int_equal(n, 2);
  assert_string_equal(landed[0].chord, "D");
  assert_string_equal(landed[0].degree, "3");
  assert_string_equal(landed[1].chord, "G");
  free(landed);
  way_log_close(again);
}

static void test_the_same_take_again_is_one_take(void** state) {
  (void)state;
  WayLog* const log = opened(WAY_LOG_WRITE);
  const int64_t id = add(log, "Slack Tide", "2026-11-21", 0);
  assert_true(add(log, "Slack Tide", "2026-11-25", 0) == id);
  way_log_close(log);
  assert_int_equal(number("SELECT count(*) FROM takes"), 1);
  assert_int_equal(number("SELECT day = '2026-11-21' FROM takes"), 1);
  assert_int_equal(number("SELECT sum(times) FROM landed"), 2);
}

// Every figure has a column of its name.
static void test_figures_are_columns(void** state) {
  (void)state;
  way_log_close(opened(WAY_LOG_WRITE));
  assert_int_equal(number("SELECT count(*) FROM pragma_table_info('takes')"),
                   6 + WAY_FIGURE_COUNT);
  for (unsigned i = 0; i < WAY_FIGURE_COUNT; ++i) {
    char text[128];
    snprintf(text, sizeof(text),
             "SELECT count(*) FROM pragma_table_info('takes') WHERE name = '%s'",
             way_figure_name((WayFigure)i));
    assert_int_equal(number(text), 1);
  }
}

// ---- Versions.

// A database as version 1 wrote it, with one take.
static const char version_1[] =
    "CREATE TABLE takes (id INTEGER PRIMARY KEY, fingerprint INTEGER NOT NULL UNIQUE,"
    " day TEXT NOT NULL, tune TEXT NOT NULL, \"key\" TEXT NOT NULL, take TEXT NOT NULL,"
    " seconds REAL NOT NULL, bars INTEGER NOT NULL, notes INTEGER NOT NULL,"
    " chord_tones INTEGER NOT NULL, scale_tones INTEGER NOT NULL,"
    " chromatic INTEGER NOT NULL, basic INTEGER NOT NULL, landings INTEGER NOT NULL,"
    " landed INTEGER NOT NULL, landed_basic INTEGER NOT NULL, early INTEGER NOT NULL,"
    " on_time INTEGER NOT NULL, late INTEGER NOT NULL, held_over INTEGER NOT NULL,"
    " in_rest INTEGER NOT NULL, targets INTEGER NOT NULL, targets_met INTEGER NOT NULL,"
    " tensions INTEGER NOT NULL, resolved INTEGER NOT NULL, stepped INTEGER NOT NULL,"
    " timing_mean REAL NOT NULL, timing_spread REAL NOT NULL);"
    "CREATE INDEX takes_by_tune ON takes (tune, day);"
    "INSERT INTO takes VALUES (5, 77, '2026-10-01', 'Rope Walk', 'A major', 'old.mid',"
    " 60, 12, 40, 20, 15, 5, 18, 9, 8, 6, 0, 5, 3, 0, 1, 0, 0, 20, 11, 9, 0.01, 0.05);"
    "PRAGMA application_id = 1466790507; PRAGMA user_version = 1;";

static void test_an_older_log_is_brought_up_to_date(void** state) {
  (void)state;
  sql(version_1);
  WayLog* const log = opened(WAY_LOG_READ);
  assert_int_equal(number("PRAGMA user_version"), WAY_LOG_VERSION);
  WayLogTake* takes = NULL;
  WayLogLanded* landed = NULL;
  uint32_t n = 0;
  assert_int_equal(way_log_list(log, NULL, &takes, &n, NULL), WAY_OK);
  assert_int_equal(n, 1);
  assert_true(takes[0].id == 5);
  assert_true(takes[0].figures[WAY_FIGURE_NOTES] == 40);
  assert_true(takes[0].figures[WAY_FIGURE_TIMING_SPREAD] == 0.05);
  assert_int_equal(way_log_landed(log, 5, &landed, &n, NULL), WAY_OK);
  assert_int_equal(n, 0);
  assert_true(add(log, "Rope Walk", "2026-10-02", 0) == 6);
  free(takes);
  free(landed);
  way_log_close(log);
}

static void test_a_newer_log_is_left_alone(void** state) {
  (void)state;
  way_log_close(opened(WAY_LOG_WRITE));
  sql("PRAGMA user_version = 99");
  check_refused(WAY_ERR_UNSUPPORTED, "the practice log was written by a newer waymark");
  assert_int_equal(number("PRAGMA user_version"), 99);
}

static void test_other_files_are_left_alone(void** state) {
  (void)state;
  sql("CREATE TABLE birds (name TEXT)");
  check_refused(WAY_ERR_FORMAT, "not a practice log");
  assert_int_equal(number("SELECT count(*) FROM sqlite_schema"), 1);
  unlink(path);
  FILE* const f = fopen(path, "w");
  assert_non_null(f);
  for (int i = 0; i < 200; ++i) fputs("no database, but a text\n", f);
  fclose(f);
  check_refused(WAY_ERR_FORMAT, "not a practice log");
}

static void test_a_damaged_log_is_told(void** state) {
  (void)state;
  WayLog* log = opened(WAY_LOG_WRITE);
  for (int i = 0; i < 50; ++i) add(log, "Slack Tide", "2026-11-21", i);
  way_log_close(log);
  FILE* const f = fopen(path, "r+");
  assert_non_null(f);
  fseek(f, 4096, SEEK_SET);
  for (int i = 0; i < 8192; ++i) putc(0x55, f);
  fclose(f);
  WayError e = {.status = WAY_OK};
  WayLogTake* takes = NULL;
  uint32_t n = 0;
  log = opened(WAY_LOG_READ);
  assert_int_equal(way_log_list(log, NULL, &takes, &n, &e), WAY_ERR_FORMAT);
  assert_string_equal(e.message, "the practice log is damaged");
  way_log_close(log);
}

// ---- Several writers.

static void write_takes(int from, int to) {
  WayLog* log = NULL;
  if (way_log_open(path, WAY_LOG_WRITE, &log, NULL)) _exit(1);
  for (int i = from; i < to; ++i) add(log, "Slack Tide", "2026-11-21", i);
  way_log_close(log);
  _exit(0);
}

// Both also find the log missing, and make it.
static void test_two_writers_lose_nothing(void** state) {
  (void)state;
  enum { WRITERS = 3, EACH = 20 };
  for (int w = 0; w < WRITERS; ++w)
    if (!fork()) write_takes(w * EACH, (w + 1) * EACH);
  for (int w = 0; w < WRITERS; ++w) {
    int status = -1;
    wait(&status);
    assert_int_equal(status, 0);
  }
  assert_int_equal(number("SELECT count(*) FROM takes"), WRITERS * EACH);
  assert_int_equal(number("SELECT sum(times) FROM landed"), 2 * WRITERS * EACH);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, begin, end)
  const struct CMUnitTest tests[] = {
      TEST(test_what_is_stored_is_read),
      TEST(test_the_same_take_again_is_one_take),
      TEST(test_figures_are_columns),
      TEST(test_an_older_log_is_brought_up_to_date),
      TEST(test_a_newer_log_is_left_alone),
      TEST(test_other_files_are_left_alone),
      TEST(test_a_damaged_log_is_told),
      TEST(test_two_writers_lose_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
