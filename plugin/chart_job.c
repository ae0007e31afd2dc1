#include "chart_job.h"

#include "chart/chart_unroll.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/// What travels to the worker; its bytes wait in the inbox.
typedef struct {
  uint32_t kind; ///< A #WayJobKind
  uint32_t size; ///< Bytes to take out of the inbox
} Job;

static WayStatus fail(WayError* error, WayStatus status, const char* what,
                      const char* why) {
  if (error) {
    memset(error, 0, sizeof(*error));
    error->status = status;
    WayOut out = way_out(error->message, sizeof(error->message));
    way_out_str(&out, what);
    way_out_str(&out, why);
  }
  return status;
}

static void chart_free(WayChartInUse* c) {
  if (!c) return;
  way_timeline_free(c->timeline);
  free(c->text);
  free(c->path);
  free(c);
}

static char* copy(const char* bytes, size_t size) {
  char* const to = malloc(size + 1);
  if (!to) return NULL;
  memcpy(to, bytes, size);
  to[size] = 0;
  return to;
}

static WayStatus chart_new(WayText text, const char* path, WayChartInUse** out,
                           WayError* error) {
  WayTimeline* timeline = NULL;
  if (memchr(text.at, 0, text.size))
    return fail(error, WAY_ERR_SYNTAX, "a NUL byte where text was expected", "");
  const bool blank = !way_text_trim(text).size;
  const WayStatus status = blank ? WAY_OK : way_timeline_read(text, &timeline, error);
  if (status) return status;
  WayChartInUse* const c = calloc(1, sizeof(*c));
  if (c) {
    c->timeline = timeline;
    c->size = blank ? 0 : text.size;
    c->text = copy(text.at, c->size);
    c->path = copy(path, strlen(path));
  }
  if (!c || !c->text || !c->path) {
    if (c)
      chart_free(c);
    else
      way_timeline_free(timeline);
    return fail(error, WAY_ERR_NO_MEMORY, way_strerror(WAY_ERR_NO_MEMORY), "");
  }
  *out = c;
  return WAY_OK;
}

/// One user less; the lock is held.
static void drop(WayChartInUse* c) {
  if (c && !--c->users) chart_free(c);
}

bool way_desk_init(WayDesk* desk, LV2_Worker_Schedule* worker, LV2_Log_Logger* logger) {
  desk->worker = worker;
  desk->logger = logger;
  return !pthread_mutex_init(&desk->lock, NULL);
}

void way_desk_clear(WayDesk* desk) {
  drop(desk->kept);
  drop(atomic_exchange(&desk->fresh, NULL));
  drop(atomic_exchange(&desk->spent, NULL));
  drop(desk->live);
  pthread_mutex_destroy(&desk->lock);
}

static void publish(WayDesk* desk, WayChartInUse* c) {
  pthread_mutex_lock(&desk->lock);
  drop(atomic_exchange(&desk->spent, NULL));
  c->users = 2; // kept, and fresh or live
  drop(desk->kept);
  desk->kept = c;
  drop(atomic_exchange(&desk->fresh, c)); // run() had not taken that one
  pthread_mutex_unlock(&desk->lock);
}

static void sweep(WayDesk* desk) {
  pthread_mutex_lock(&desk->lock);
  drop(atomic_exchange(&desk->spent, NULL));
  pthread_mutex_unlock(&desk->lock);
}

static WayStatus read_text(WayDesk* desk, WayText text, const char* path, bool answered,
                           WayError* error) {
  WayChartInUse* c = NULL;
  const WayStatus status = chart_new(text, path, &c, error);
  if (status) return status;
  c->answered = answered;
  publish(desk, c);
  return WAY_OK;
}

WayStatus way_desk_read(WayDesk* desk, WayText text, const char* path,
                        WayError* error) {
  return read_text(desk, text, path, false, error);
}

/// The whole of a file, with a terminator behind it.
static WayStatus load(const char* path, char** bytes, size_t* size, WayError* error) {
  FILE* const f = fopen(path, "rb");
  if (!f) return fail(error, WAY_ERR_IO, "cannot open the file: ", strerror(errno));
  size_t room = 4096, n = 0;
  char* all = malloc(room);
  while (all && (n += fread(all + n, 1, room - n, f)) == room &&
         room < WAY_CHART_BYTES_MAX) {
    char* const more = realloc(all, room *= 2);
    if (!more) free(all);
    all = more;
  }
  const bool unread = ferror(f) != 0;
  const int why = errno;
  fclose(f);
  if (!all) return fail(error, WAY_ERR_NO_MEMORY, way_strerror(WAY_ERR_NO_MEMORY), "");
  if (unread || n == room) {
    free(all);
    return unread ? fail(error, WAY_ERR_IO, "cannot read the file: ", strerror(why))
                  : fail(error, WAY_ERR_FULL, "the file is larger than a chart", "");
  }
  *bytes = all;
  *size = n;
  return WAY_OK;
}

static WayStatus read_file(WayDesk* desk, const char* path, bool answered,
                           WayError* error) {
  char* bytes = NULL;
  size_t size = 0;
  WayStatus status = load(path, &bytes, &size, error);
  if (status) return status;
  const WayText text = {bytes, size};
  status = way_text_trim(text).size
               ? read_text(desk, text, path, answered, error)
               : fail(error, WAY_ERR_SYNTAX, "the file has no chart in it", "");
  free(bytes);
  return status;
}

WayStatus way_desk_read_file(WayDesk* desk, const char* path, WayError* error) {
  return read_file(desk, path, false, error);
}

void way_desk_explain(const WayError* error, char* buffer, size_t room) {
  WayOut out = way_out(buffer, room);
  if (error->line) {
    way_out_str(&out, "line ");
    way_out_int(&out, error->line);
    way_out_str(&out, ", column ");
    way_out_int(&out, error->column);
    way_out_str(&out, ": ");
  }
  way_out_str(&out, error->message);
}

static void put_inbox(WayDesk* desk, const char* bytes, uint32_t size) {
  const uint32_t head = atomic_load_explicit(&desk->head, memory_order_relaxed);
  const uint32_t at = head % WAY_INBOX_SIZE;
  const uint32_t first = size < WAY_INBOX_SIZE - at ? size : WAY_INBOX_SIZE - at;
  memcpy(desk->inbox + at, bytes, first);
  memcpy(desk->inbox, bytes + first, size - first);
  atomic_store_explicit(&desk->head, head + size, memory_order_release);
}

/// The oldest `size` bytes of the inbox with a terminator; NULL if they are not there
/// or memory is out.
static char* take_inbox(WayDesk* desk, uint32_t size) {
  const uint32_t head = atomic_load_explicit(&desk->head, memory_order_acquire);
  const uint32_t tail = atomic_load_explicit(&desk->tail, memory_order_relaxed);
  if (size > head - tail) return NULL;
  char* const bytes = malloc((size_t)size + 1);
  if (bytes) {
    const uint32_t at = tail % WAY_INBOX_SIZE;
    const uint32_t first = size < WAY_INBOX_SIZE - at ? size : WAY_INBOX_SIZE - at;
    memcpy(bytes, desk->inbox + at, first);
    memcpy(bytes + first, desk->inbox, size - first);
    bytes[size] = 0;
  }
  atomic_store_explicit(&desk->tail, tail + size, memory_order_release);
  return bytes;
}

static bool refuse(WayDesk* desk, const char* why) {
  WayOut out = way_out(desk->message, sizeof(desk->message));
  way_out_str(&out, why);
  desk->news = true;
  return false;
}

static bool schedule(const WayDesk* desk, WayJobKind kind, uint32_t size) {
  const Job job = {kind, size};
  return desk->worker->schedule_work(desk->worker->handle, sizeof(job), &job) ==
         LV2_WORKER_SUCCESS;
}

bool way_desk_ask(WayDesk* desk, WayJobKind kind, const char* bytes, uint32_t size) {
  if (!desk->worker)
    return refuse(desk,
                  "this host has no worker, so charts come with its sessions only");
  const uint32_t head = atomic_load_explicit(&desk->head, memory_order_relaxed);
  const uint32_t tail = atomic_load_explicit(&desk->tail, memory_order_acquire);
  if (size > WAY_INBOX_SIZE - (head - tail))
    return refuse(desk, "too much text to pass on at once: give the chart as a file");
  put_inbox(desk, bytes, size);
  if (schedule(desk, kind, size)) return true;
  // Nobody was told of the bytes, so they can be taken back.
  atomic_store_explicit(&desk->head, head, memory_order_release);
  return refuse(desk, "the host is busy: give the chart once more");
}

bool way_desk_take(WayDesk* desk) {
  bool taken = false;
  if (!atomic_load_explicit(&desk->spent, memory_order_acquire)) {
    WayChartInUse* const c =
        atomic_exchange_explicit(&desk->fresh, NULL, memory_order_acquire);
    if (c) {
      desk->sweep_due = desk->live != NULL;
      atomic_store_explicit(&desk->spent, desk->live, memory_order_release);
      desk->live = c;
      if (!c->answered) desk->message[0] = 0;
      desk->news = taken = true;
    }
  }
  // Without a worker the old chart waits for the next restore or the end.
  if (desk->sweep_due && (!desk->worker || schedule(desk, WAY_JOB_SWEEP, 0)))
    desk->sweep_due = false;
  return taken;
}

LV2_Worker_Status way_desk_work(WayDesk* desk, LV2_Worker_Respond_Function respond,
                                LV2_Worker_Respond_Handle handle, uint32_t size,
                                const void* data) {
  Job job;
  if (size != sizeof(job)) return LV2_WORKER_ERR_UNKNOWN;
  memcpy(&job, data, sizeof(job));
  sweep(desk);
  if (job.kind == WAY_JOB_SWEEP) return LV2_WORKER_SUCCESS;
  char* const bytes = take_inbox(desk, job.size);
  if (!bytes) return LV2_WORKER_ERR_NO_SPACE;
  WayError error;
  const WayText text = {bytes, job.size};
  char message[WAY_CHART_MESSAGE_MAX] = "";
  if (job.kind == WAY_JOB_FILE ? read_file(desk, bytes, true, &error)
                               : read_text(desk, text, "", true, &error)) {
    way_desk_explain(&error, message, sizeof(message));
    lv2_log_error(desk->logger, "Waymark: %s: %s\n",
                  job.kind == WAY_JOB_FILE ? bytes : "chart", message);
  }
  respond(handle, (uint32_t)strlen(message) + 1, message);
  free(bytes);
  return LV2_WORKER_SUCCESS;
}

LV2_Worker_Status way_desk_response(WayDesk* desk, uint32_t size, const void* data) {
  if (!size || size > sizeof(desk->message)) return LV2_WORKER_ERR_UNKNOWN;
  memcpy(desk->message, data, size);
  desk->message[size - 1] = 0;
  desk->news = true;
  return LV2_WORKER_SUCCESS;
}
