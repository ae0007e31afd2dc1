// Charts between threads: read by the worker or by restore, used by run().
#ifndef WAY_PLUGIN_CHART_JOB_H
#define WAY_PLUGIN_CHART_JOB_H

#include "base/status.h"
#include "live/form.h"

#include <lv2/log/logger.h>
#include <lv2/worker/worker.h>

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>

/// Largest chart file, in bytes.
#define WAY_CHART_BYTES_MAX (16u << 20)
/// Room for texts and paths on their way to the worker, in bytes; a power of two.
#define WAY_INBOX_SIZE (64u << 10)
/// Room for a message about a chart, with its terminator.
#define WAY_CHART_MESSAGE_MAX 224u

/// A chart in use.  Never changed once made; only the desk makes and frees it.
typedef struct {
  WayTimeline* timeline; ///< NULL: no chart
  char* text;            ///< As given, terminated; "" for no chart
  size_t size;           ///< Bytes of `text`, without the terminator
  char* path;            ///< Where it came from; "" if it was given as text
  bool answered;         ///< The worker sends run() a message of its own about it
  uint32_t number; ///< Of the form learned that it was made of; 0 for other charts
  WayForm* form;   ///< If it was learned before and is recalled, else NULL
  WayTick origin;  ///< Where it begins, if it was learned
  int users;       ///< Guarded by the desk's lock
} WayChartInUse;

/// A chart on its way from hand to hand.
typedef struct {
  WayChartInUse* kept;           ///< What save() stores: the newest that could be read
  _Atomic(WayChartInUse*) fresh; ///< For run() to take
  _Atomic(WayChartInUse*) spent; ///< For the desk to free
  WayChartInUse* live;           ///< run()'s own; NULL: no chart yet
  bool sweep_due;                ///< run()'s own: `spent` waits to be freed
} WayTray;

/**
   Where charts change hands.

   run() only ever exchanges pointers: it takes a chart from `fresh` and leaves the one
   before in `spent`.  Everything else happens on other threads, under the lock.
*/
typedef struct {
  pthread_mutex_t lock; ///< Never taken by run()
  WayTray chart;
  WayTray learned;
  _Atomic(bool) forgotten;       ///< By run(): what was learned is in use no more
  _Atomic(uint32_t) form_number; ///< By run(): the form asked for last, or recalled
                                 ///< since; 0 for none.  Charts of others are late
  LV2_Worker_Schedule* worker;   ///< NULL in a host without
  LV2_Log_Logger* logger;        ///< Borrowed
  char message[WAY_CHART_MESSAGE_MAX]; ///< run()'s own: why the newest was not read, or
                                       ///< ""
  bool news;                           ///< run()'s own: chart or message changed
  _Atomic(uint32_t) head;              ///< Bytes ever put into `inbox`
  _Atomic(uint32_t) tail;              ///< Bytes ever taken out
  char inbox[WAY_INBOX_SIZE];
} WayDesk;

/// Start without a chart.  @return Whether the system gave a lock.
bool way_desk_init(WayDesk* desk, LV2_Worker_Schedule* worker, LV2_Log_Logger* logger);
/// Free every chart.
void way_desk_clear(WayDesk* desk);

/**
   Read a chart here and now, and hand it to run().  Not real-time safe.

   @param text Borrowed; blank text means no chart.
   @param path Kept as its origin; "" for none.
   @param error Receives what was wrong; may be NULL.  The chart in use then stays.
*/
WayStatus way_desk_read(WayDesk* desk, WayText text, const char* path, WayError* error);
/// The same for a file.
WayStatus way_desk_read_file(WayDesk* desk, const char* path, WayError* error);
/**
   Read the chart of a form that was learned, and hand it to run() to recall.

   @param origin Where it begins, in ticks from the start bar.
   @param error  Receives what was wrong; may be NULL.  Nothing is changed then.
*/
WayStatus way_desk_recall(WayDesk* desk, WayText text, WayTick origin, WayError* error);
/// Write `error` into `out` as `line 3, column 5: expected a chord`.
void way_desk_explain(const WayError* error, char* out, size_t room);

/// What a request asks the worker for.
typedef enum {
  WAY_JOB_TEXT,  ///< Read a chart from text
  WAY_JOB_FILE,  ///< Read a chart from a file
  WAY_JOB_FORM,  ///< Make a chart of a #WayForm, numbered
  WAY_JOB_SWEEP, ///< Free charts that are not in use any more
} WayJobKind;

/**
   Ask the worker to read `bytes` (text or path, by `kind`).

   @return Whether it was asked; if not, `desk->message` says why.
   @par Real-time safe.
*/
bool way_desk_ask(WayDesk* desk, WayJobKind kind, const char* bytes, uint32_t size);
/// Ask the worker for the timeline of a form that was learned, unless it has been
/// asked.
/// @param number Not 0.  @par Real-time safe.
void way_desk_ask_form(WayDesk* desk, const WayForm* form, uint32_t number);
/// No form is wanted any more but number `number`, which is there already; 0 for none.
/// @par Real-time safe.
static inline void way_desk_want_form(WayDesk* desk, uint32_t number) {
  atomic_store(&desk->form_number, number);
}
/**
   Take a chart that became ready; that of a form no longer wanted is left to be freed.

   @param tray One of the desk's.
   @return Whether `tray->live` changed.
   @par Real-time safe.
*/
bool way_desk_take(WayDesk* desk, WayTray* tray);
/// What was learned is forgotten: it is neither told nor saved.  @par Real-time safe.
static inline void way_desk_forget(WayDesk* desk) {
  way_desk_want_form(desk, 0);
  if (!desk->learned.live || atomic_load(&desk->forgotten)) return;
  atomic_store(&desk->forgotten, true);
  desk->news = true;
}
/// Whether another thread has left a chart.  @par Real-time safe.
static inline bool way_desk_has_fresh(const WayDesk* desk) {
  return atomic_load_explicit(&desk->chart.fresh, memory_order_relaxed) ||
         atomic_load_explicit(&desk->learned.fresh, memory_order_relaxed);
}
/// Whether there is anything to take, to clear away or to tell.  @par Real-time safe.
static inline bool way_desk_waits(const WayDesk* desk) {
  return way_desk_has_fresh(desk) || desk->chart.sweep_due || desk->learned.sweep_due ||
         desk->news;
}

/// The worker's side: LV2_Worker_Interface.work.
LV2_Worker_Status way_desk_work(WayDesk* desk, LV2_Worker_Respond_Function respond,
                                LV2_Worker_Respond_Handle handle, uint32_t size,
                                const void* data);
/// run()'s side: LV2_Worker_Interface.work_response.  @par Real-time safe.
LV2_Worker_Status way_desk_response(WayDesk* desk, uint32_t size, const void* data);

#endif
