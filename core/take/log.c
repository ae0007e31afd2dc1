#include "take/log.h"

#include "take/review_words.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct WayLog {
  sqlite3* db;
};

/// What brings the schema from each version to the next.
static const char* const steps[WAY_LOG_VERSION] = {
    "CREATE TABLE takes ("
    " id INTEGER PRIMARY KEY,"
    " fingerprint INTEGER NOT NULL UNIQUE,"
    " day TEXT NOT NULL,"
    " tune TEXT NOT NULL,"
    " \"key\" TEXT NOT NULL,"
    " take TEXT NOT NULL,"
    " seconds REAL NOT NULL,"
    " bars INTEGER NOT NULL,"
    " notes INTEGER NOT NULL,"
    " chord_tones INTEGER NOT NULL,"
    " scale_tones INTEGER NOT NULL,"
    " chromatic INTEGER NOT NULL,"
    " basic INTEGER NOT NULL,"
    " landings INTEGER NOT NULL,"
    " landed INTEGER NOT NULL,"
    " landed_basic INTEGER NOT NULL,"
    " early INTEGER NOT NULL,"
    " on_time INTEGER NOT NULL,"
    " late INTEGER NOT NULL,"
    " held_over INTEGER NOT NULL,"
    " in_rest INTEGER NOT NULL,"
    " targets INTEGER NOT NULL,"
    " targets_met INTEGER NOT NULL,"
    " tensions INTEGER NOT NULL,"
    " resolved INTEGER NOT NULL,"
    " stepped INTEGER NOT NULL,"
    " timing_mean REAL NOT NULL,"
    " timing_spread REAL NOT NULL);"
    "CREATE INDEX takes_by_tune ON takes (tune, day);",
    "CREATE TABLE landed ("
    " take INTEGER NOT NULL REFERENCES takes (id) ON DELETE CASCADE,"
    " chord TEXT NOT NULL,"
    " degree TEXT NOT NULL,"
    " times INTEGER NOT NULL,"
    " PRIMARY KEY (take, chord, degree)) WITHOUT ROWID;",
};

// ---- Messages.

static WayStatus no_memory(WayError* error) {
  return way_fail(WAY_ERR_NO_MEMORY, way_strerror(WAY_ERR_NO_MEMORY), error);
}

/// Say why the database refused.
static WayStatus refused(const WayLog* log, WayError* error) {
  static const struct {
    int code;
    WayStatus status;
    const char* message;
  } known[] = {
      {SQLITE_FULL, WAY_ERR_IO, "the disk is full; the take in hand was not stored"},
      {SQLITE_READONLY, WAY_ERR_IO, "the practice log may only be read"},
      {SQLITE_CANTOPEN, WAY_ERR_IO, "the practice log can't be opened"},
      {SQLITE_PERM, WAY_ERR_IO, "the practice log may not be opened"},
      {SQLITE_IOERR, WAY_ERR_IO, "the disk refused to read or write"},
      {SQLITE_BUSY, WAY_ERR_IO, "the practice log is held by another program"},
      {SQLITE_NOTADB, WAY_ERR_FORMAT, "not a practice log"},
      {SQLITE_CORRUPT, WAY_ERR_FORMAT, "the practice log is damaged"},
      {SQLITE_NOMEM, WAY_ERR_NO_MEMORY, "out of memory"},
  };
  const int code = log->db ? sqlite3_errcode(log->db) : SQLITE_NOMEM;
  for (size_t i = 0; i < WAY_COUNT(known); ++i)
    if (known[i].code == (code & 0xFF))
      return way_fail(known[i].status, known[i].message, error);
  return way_fail(WAY_ERR_IO, sqlite3_errmsg(log->db), error);
}

// ---- Statements.

static bool run(const WayLog* log, const char* sql) {
  return sqlite3_exec(log->db, sql, NULL, NULL, NULL) == SQLITE_OK;
}

static sqlite3_stmt* prepared(const WayLog* log, const char* sql) {
  sqlite3_stmt* s = NULL;
  return sqlite3_prepare_v2(log->db, sql, -1, &s, NULL) == SQLITE_OK ? s : NULL;
}

/// The one number that a statement gives; false if it could not be had.
static bool number(const WayLog* log, const char* sql, int64_t* out) {
  sqlite3_stmt* const s = prepared(log, sql);
  const bool got = s && sqlite3_step(s) == SQLITE_ROW;
  if (got) *out = sqlite3_column_int64(s, 0);
  return sqlite3_finalize(s) == SQLITE_OK && got;
}

/// End a transaction; one that failed leaves no trace.
static WayStatus finish(const WayLog* log, WayStatus status, WayError* error) {
  if (!status && run(log, "COMMIT")) return WAY_OK;
  const WayStatus st = status ? status : refused(log, error);
  run(log, "ROLLBACK");
  return st;
}

// ---- Opening.

/// Bring the schema up to date; nobody else writes meanwhile.
static WayStatus migrate(const WayLog* log, WayError* error) {
  int64_t version = 0, application = 0, tables = 0;
  if (!run(log, "BEGIN IMMEDIATE")) return refused(log, error);
  if (!number(log, "PRAGMA user_version", &version) ||
      !number(log, "PRAGMA application_id", &application) ||
      !number(log, "SELECT count(*) FROM sqlite_schema", &tables))
    return finish(log, refused(log, error), error);
  if (tables && application != WAY_LOG_APPLICATION)
    return finish(log, way_fail(WAY_ERR_FORMAT, "not a practice log", error), error);
  char sql[64];
  for (; version >= 0 && version < WAY_LOG_VERSION; ++version)
    if (!run(log, steps[version])) return finish(log, refused(log, error), error);
  snprintf(sql, sizeof(sql), "PRAGMA user_version = %d; PRAGMA application_id = %d",
           WAY_LOG_VERSION, WAY_LOG_APPLICATION);
  if (!run(log, sql)) return finish(log, refused(log, error), error);
  return finish(log, WAY_OK, error);
}

static WayStatus check(const WayLog* log, WayError* error) {
  int64_t version = 0, application = 0;
  sqlite3_busy_timeout(log->db, WAY_LOG_PATIENCE);
  if (!run(log, "PRAGMA foreign_keys = ON") ||
      !number(log, "PRAGMA user_version", &version) ||
      !number(log, "PRAGMA application_id", &application))
    return refused(log, error);
  if (version > WAY_LOG_VERSION && application == WAY_LOG_APPLICATION)
    return way_fail(WAY_ERR_UNSUPPORTED,
                    "the practice log was written by a newer waymark", error);
  if (version == WAY_LOG_VERSION && application == WAY_LOG_APPLICATION) return WAY_OK;
  return migrate(log, error);
}

WayStatus way_log_open(const char* path, WayLogAccess access, WayLog** out,
                       WayError* error) {
  WayLog* const log = calloc(1, sizeof(*log));
  if (!log) return no_memory(error);
  const int flags =
      SQLITE_OPEN_READWRITE | (access == WAY_LOG_WRITE ? SQLITE_OPEN_CREATE : 0);
  // A log that may only be read is opened for that, whatever was asked for.
  const int code = sqlite3_open_v2(path, &log->db, flags, NULL);
  WayStatus st = code == SQLITE_OK ? check(log, error) : refused(log, error);
  if (!st && access == WAY_LOG_WRITE && sqlite3_db_readonly(log->db, "main") == 1)
    st = way_fail(WAY_ERR_IO, "the practice log may only be read", error);
  if (st) {
    way_log_close(log);
    return st;
  }
  *out = log;
  return WAY_OK;
}

void way_log_close(WayLog* log) {
  if (!log) return;
  sqlite3_close(log->db);
  free(log);
}

// ---- Storing.

static void put_columns(FILE* to, const char* before, const char* after) {
  for (unsigned i = 0; i < WAY_FIGURE_COUNT; ++i)
    fprintf(to, "%s%s%s", before, way_figure_name((WayFigure)i), after);
}

/// The columns before the figures.
#define HEAD "fingerprint, day, tune, \"key\", take"

/// Statement that stores a take, by fingerprint; to be freed with free().
static char* insertion(void) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  if (!to) return NULL;
  fputs("INSERT INTO takes (" HEAD, to);
  put_columns(to, ", ", "");
  fputs(") VALUES (?, ?, ?, ?, ?", to);
  for (unsigned i = 0; i < WAY_FIGURE_COUNT; ++i) fputs(", ?", to);
  fputs(") ON CONFLICT (fingerprint) DO UPDATE SET day = min(day, excluded.day), "
        "tune = excluded.tune, \"key\" = excluded.\"key\", take = excluded.take",
        to);
  for (unsigned i = 0; i < WAY_FIGURE_COUNT; ++i)
    fprintf(to, ", %s = excluded.%s", way_figure_name((WayFigure)i),
            way_figure_name((WayFigure)i));
  fputs(" RETURNING id", to);
  if (!fclose(to)) return text;
  free(text);
  return NULL;
}

static bool insert_take(const WayLog* log, const WayLogTake* t, int64_t* id) {
  char* const sql = insertion();
  sqlite3_stmt* const s = sql ? prepared(log, sql) : NULL;
  free(sql);
  if (!s) return false;
  const char* const texts[] = {t->day.text, t->tune, t->key, t->take};
  bool ok = sqlite3_bind_int64(s, 1, t->fingerprint) == SQLITE_OK;
  int column = 2;
  for (size_t i = 0; i < WAY_COUNT(texts); ++i)
    ok = ok && !sqlite3_bind_text(s, column++, texts[i], -1, SQLITE_STATIC);
  for (unsigned i = 0; i < WAY_FIGURE_COUNT; ++i)
    ok = ok && !sqlite3_bind_double(s, column++, t->figures[i]);
  ok = ok && sqlite3_step(s) == SQLITE_ROW;
  if (ok) *id = sqlite3_column_int64(s, 0);
  ok = ok && sqlite3_step(s) == SQLITE_DONE;
  return sqlite3_finalize(s) == SQLITE_OK && ok;
}

static bool insert_chord(sqlite3_stmt* s, int64_t id, const WayHarmony* h,
                         const WayChordLandings* c) {
  char chord[WAY_SYMBOL_MAX], degree[WAY_SPELLING_MAX];
  way_chord_text(&h->chord, chord);
  bool ok = true;
  for (int up = 0; ok && up < 12; ++up) {
    if (!c->landed[up]) continue;
    const int pitch = way_spelling_pc(h->chord.root) + up;
    way_degree_text(way_harmony_role(h, pitch).degree, degree);
    ok = !sqlite3_bind_int64(s, 1, id) &&
         !sqlite3_bind_text(s, 2, chord, -1, SQLITE_STATIC) &&
         !sqlite3_bind_text(s, 3, degree, -1, SQLITE_STATIC) &&
         !sqlite3_bind_int64(s, 4, c->landed[up]) && sqlite3_step(s) == SQLITE_DONE;
    sqlite3_reset(s);
  }
  return ok;
}

static bool insert_landed(const WayLog* log, const WayReview* review, int64_t id,
                          const WayChordLandings* chords, uint32_t n) {
  char sql[64];
  snprintf(sql, sizeof(sql), "DELETE FROM landed WHERE take = %lld", (long long)id);
  if (!run(log, sql)) return false;
  // One chord in two keys has two harmonies.
  sqlite3_stmt* const s =
      prepared(log, "INSERT INTO landed (take, chord, degree, times)"
                    " VALUES (?, ?, ?, ?) ON CONFLICT (take, chord, degree)"
                    " DO UPDATE SET times = times + excluded.times");
  bool ok = s;
  for (uint32_t i = 0; ok && i < n; ++i)
    ok = insert_chord(s, id, &review->timeline->harmonies[chords[i].harmony],
                      &chords[i]);
  sqlite3_finalize(s);
  return ok;
}

WayStatus way_log_add(WayLog* log, const WayLogTake* take, const WayReview* review,
                      int64_t* id, WayError* error) {
  WayChordLandings* chords = NULL;
  uint32_t n = 0;
  int64_t given = 0;
  if (way_review_chords(review, &chords, &n)) return no_memory(error);
  WayStatus st = run(log, "BEGIN IMMEDIATE") ? WAY_OK : refused(log, error);
  if (!st) {
    if (!insert_take(log, take, &given) ||
        !insert_landed(log, review, given, chords, n))
      st = refused(log, error);
    st = finish(log, st, error);
  }
  free(chords);
  if (!st && id) *id = given;
  return st;
}

// ---- Reading.

static void copy_column(sqlite3_stmt* s, int column, char* to, size_t room) {
  const unsigned char* const text = sqlite3_column_text(s, column);
  WayOut out = way_out(to, room);
  way_out_str(&out, text ? (const char*)text : "");
}

static void read_take(sqlite3_stmt* s, void* row) {
  WayLogTake* const t = row;
  t->id = sqlite3_column_int64(s, 0);
  t->fingerprint = sqlite3_column_int64(s, 1);
  copy_column(s, 2, t->day.text, sizeof(t->day.text));
  copy_column(s, 3, t->tune, sizeof(t->tune));
  copy_column(s, 4, t->key, sizeof(t->key));
  copy_column(s, 5, t->take, sizeof(t->take));
  for (int i = 0; i < WAY_FIGURE_COUNT; ++i)
    t->figures[i] = sqlite3_column_double(s, 6 + i);
}

static void read_day(sqlite3_stmt* s, void* row) {
  copy_column(s, 0, ((WayDay*)row)->text, WAY_DAY_MAX);
}

static void read_landed(sqlite3_stmt* s, void* row) {
  WayLogLanded* const l = row;
  copy_column(s, 0, l->chord, sizeof(l->chord));
  copy_column(s, 1, l->degree, sizeof(l->degree));
  l->times = (uint32_t)sqlite3_column_int64(s, 2);
}

/// All rows of a statement, which is ended: `size` bytes each, filled by `read`.
static WayStatus rows(const WayLog* log, sqlite3_stmt* s, size_t size,
                      void (*read)(sqlite3_stmt*, void*), void** out, uint32_t* n,
                      WayError* error) {
  char* list = NULL;
  uint32_t count = 0;
  WayStatus st = s ? WAY_OK : refused(log, error);
  int code = SQLITE_DONE;
  while (!st && (code = sqlite3_step(s)) == SQLITE_ROW) {
    if (!(count & (count - 1))) { // room doubles at powers of two
      char* const more = realloc(list, (count ? 2 * (size_t)count : 1) * size);
      if (!more) {
        st = no_memory(error);
        break;
      }
      list = more;
    }
    read(s, list + count++ * size);
  }
  if (!st && code != SQLITE_DONE) st = refused(log, error);
  sqlite3_finalize(s);
  if (st) {
    free(list);
    return st;
  }
  *out = list;
  *n = count;
  return WAY_OK;
}

static char* selection(const char* tune) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  if (!to) return NULL;
  fputs("SELECT id, " HEAD, to);
  put_columns(to, ", ", "");
  fprintf(to, " FROM takes%s ORDER BY tune, day, id",
          tune ? " WHERE tune = ? COLLATE NOCASE" : "");
  if (!fclose(to)) return text;
  free(text);
  return NULL;
}

WayStatus way_log_list(WayLog* log, const char* tune, WayLogTake** out, uint32_t* n,
                       WayError* error) {
  char* const sql = selection(tune);
  if (!sql) return no_memory(error);
  sqlite3_stmt* const s = prepared(log, sql);
  free(sql);
  if (s && tune) sqlite3_bind_text(s, 1, tune, -1, SQLITE_STATIC);
  void* list = NULL;
  const WayStatus st = rows(log, s, sizeof(**out), read_take, &list, n, error);
  if (!st) *out = list;
  return st;
}

WayStatus way_log_days(WayLog* log, WayDay** out, uint32_t* n, WayError* error) {
  void* list = NULL;
  const WayStatus st =
      rows(log, prepared(log, "SELECT DISTINCT day FROM takes ORDER BY day"),
           sizeof(**out), read_day, &list, n, error);
  if (!st) *out = list;
  return st;
}

WayStatus way_log_landed(WayLog* log, int64_t id, WayLogLanded** out, uint32_t* n,
                         WayError* error) {
  void* list = NULL;
  sqlite3_stmt* const s =
      prepared(log, "SELECT chord, degree, times FROM landed WHERE take = ?"
                    " ORDER BY chord, degree");
  if (s) sqlite3_bind_int64(s, 1, id);
  const WayStatus st = rows(log, s, sizeof(**out), read_landed, &list, n, error);
  if (!st) *out = list;
  return st;
}
