// The practice log: figures of takes in a SQLite database.
#ifndef WAY_TAKE_LOG_H
#define WAY_TAKE_LOG_H

#include "take/figures.h"

/// Version of the schema that is written; kept in the database's `user_version`.
#define WAY_LOG_VERSION 2
/// Marks a database as a practice log: its `application_id`, "Wmrk".
#define WAY_LOG_APPLICATION 0x576D726B
/// How long another program may hold the log before we say so, in milliseconds.
#define WAY_LOG_PATIENCE 20000

/// An open log.
typedef struct WayLog WayLog;

/// How to open a log.
typedef enum {
  WAY_LOG_READ,  ///< It has to be there
  WAY_LOG_WRITE, ///< Made if it isn't there
} WayLogAccess;

/// How often the landing notes of a take were on a tone of a chord.
typedef struct {
  char chord[WAY_SYMBOL_MAX];
  char degree[WAY_SPELLING_MAX];
  uint32_t times;
} WayLogLanded;

/**
   Open a log, and bring an older one to #WAY_LOG_VERSION.

   @param path  Of the database; its folder has to be there.
   @param out   Receives the log, to be ended by way_log_close(); left untouched on
                error.
   @param error Receives a message without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_IO (missing, not to be read or written, disk full, held by
   another program), #WAY_ERR_FORMAT (no practice log, or a damaged one),
   #WAY_ERR_UNSUPPORTED (of a newer version) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_log_open(const char* path, WayLogAccess access, WayLog** out,
                       WayError* error);
/// Close a log; NULL is fine.
void way_log_close(WayLog* log);
/**
   Store a take, all of it or nothing, so that it outlasts the end of the program and of
   the machine.  A take that is known by its fingerprint is stored anew under its id.

   @param take   `id` is not looked at.
   @param review Where the landings by chord are taken from.
   @param id     Receives the take's id; may be NULL; left untouched on error.
   @return As way_log_open().
*/
WayStatus way_log_add(WayLog* log, const WayLogTake* take, const WayReview* review,
                      int64_t* id, WayError* error);
/**
   All takes by tune, then by day and id.

   @param tune Only takes of this tune, letter case aside; NULL for all.
   @param out  Receives a new list, to be freed with free(); left untouched on error.
   @param n    Receives its length.
   @return As way_log_open().
*/
WayStatus way_log_list(WayLog* log, const char* tune, WayLogTake** out, uint32_t* n,
                       WayError* error);
/**
   The days on which there are takes, rising, each once.

   @param out Receives a new list, to be freed with free(); left untouched on error.
   @return As way_log_open().
*/
WayStatus way_log_days(WayLog* log, WayDay** out, uint32_t* n, WayError* error);
/**
   The landings of one take by chord and degree.  Takes stored under version 1 have
   none.

   @param out Receives a new list, to be freed with free(); left untouched on error.
   @return As way_log_open().
*/
WayStatus way_log_landed(WayLog* log, int64_t id, WayLogLanded** out, uint32_t* n,
                         WayError* error);

#endif
