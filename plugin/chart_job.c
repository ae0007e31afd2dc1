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

/// way_fail(), with its status in sight of whoever checks what follows from it.
static WayStatus fail(WayError* error, WayStatus status, const char* message) {
  way_fail(status, message, error);
  return status;
}

static WayStatus no_memory(WayError* error) {
  return fail(error, WAY_ERR_NO_MEMORY, way_strerror(WAY_ERR_NO_MEMORY));
}

/// Fail as the system tells by an errno value.
static WayStatus fail_io(const char* what, int why, WayError* error) {
  char message[WAY_ERROR_MAX];
  WayOut out = way_out(message, sizeof(message));
  way_out_str(&out, what);
  way_out_str(&out, strerror(why));
  return fail(error, WAY_ERR_IO, message);
}

static void chart_free(WayChartInUse* c) {
  if (!c) return;
  way_timeline_free(c->timeline);
  free(c->text);
  free(c->path);
  free(c->form);
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
    return fail(error, WAY_ERR_SYNTAX, "a NUL byte where text was expected");
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
    return no_memory(error);
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

static void clear_tray(WayTray* tray) {
  drop(tray->kept);
  drop(atomic_exchange(&tray->fresh, NULL));
  drop(atomic_exchange(&tray->spent, NULL));
  drop(tray->live);
}

void way_desk_clear(WayDesk* desk) {
  clear_tray(&desk->chart);
  clear_tray(&desk->learned);
  pthread_mutex_destroy(&desk->lock);
}

static void publish(WayDesk* desk, WayTray* tray, WayChartInUse* c) {
  pthread_mutex_lock(&desk->lock);
  drop(atomic_exchange(&tray->spent, NULL));
  c->users = 2; // kept, and fresh or live
  drop(tray->kept);
  tray->kept = c;
  drop(atomic_exchange(&tray->fresh, c)); // run() had not taken that one
  pthread_mutex_unlock(&desk->lock);
}

static void sweep(WayDesk* desk) {
  pthread_mutex_lock(&desk->lock);
  drop(atomic_exchange(&desk->chart.spent, NULL));
  drop(atomic_exchange(&desk->learned.spent, NULL));
  pthread_mutex_unlock(&desk->lock);
}

static WayStatus read_text(WayDesk* desk, WayText text, const char* path, bool answered,
                           WayError* error) {
  WayChartInUse* c = NULL;
  const WayStatus status = chart_new(text, path, &c, error);
  if (status) return status;
  c->answered = answered;
  publish(desk, &desk->chart, c);
  return WAY_OK;
}

WayStatus way_desk_read(WayDesk* desk, WayText text, const char* path,
                        WayError* error) {
  return read_text(desk, text, path, false, error);
}

WayStatus way_desk_recall(WayDesk* desk, WayText text, WayTick origin,
                          WayError* error) {
  WayChartInUse* c = NULL;
  const WayStatus status = chart_new(text, "", &c, error);
  if (status) return status;
  c->origin = origin;
  c->form = malloc(sizeof(*c->form));
  const bool fits = c->form && c->timeline && way_form_of(c->timeline, origin, c->form);
  if (!fits) {
    chart_free(c);
    return fail(error, WAY_ERR_UNSUPPORTED, "it is no form that can be learned");
  }
  publish(desk, &desk->learned, c);
  return WAY_OK;
}

/// The whole of a file, with a terminator behind it.
static WayStatus load(const char* path, char** bytes, size_t* size, WayError* error) {
  FILE* const f = fopen(path, "rb");
  if (!f) return fail_io("cannot open the file: ", errno, error);
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
  if (!all) return no_memory(error);
  if (unread || n == room) {
    free(all);
    return unread ? fail_io("cannot read the file: ", why, error)
                  : fail(error, WAY_ERR_FULL, "the file is larger than a chart");
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
               : fail(error, WAY_ERR_SYNTAX, "the file has no chart in it");
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

void way_desk_ask_form(WayDesk* desk, const WayForm* form, uint32_t number) {
  const uint32_t before = atomic_load(&desk->form_number);
  const uint32_t head = atomic_load_explicit(&desk->head, memory_order_relaxed);
  const uint32_t tail = atomic_load_explicit(&desk->tail, memory_order_acquire);
  const uint32_t size = sizeof(number) + sizeof(*form);
  if (number == before || !desk->worker || size > WAY_INBOX_SIZE - (head - tail))
    return;
  way_desk_want_form(desk, number);
  put_inbox(desk, (const char*)&number, sizeof(number));
  put_inbox(desk, (const char*)form, sizeof(*form));
  if (schedule(desk, WAY_JOB_FORM, size)) return;
  atomic_store_explicit(&desk->head, head, memory_order_release);
  way_desk_want_form(desk, before);
}

/// Whether a chart is of a form that is not wanted any more.
static bool is_late(const WayDesk* desk, const WayChartInUse* c) {
  return c->number && c->number != atomic_load(&desk->form_number);
}

/// Let the worker free what is spent; without one it waits for the next restore or the
/// end.
static void ask_sweep(const WayDesk* desk, WayTray* tray) {
  if (tray->sweep_due && (!desk->worker || schedule(desk, WAY_JOB_SWEEP, 0)))
    tray->sweep_due = false;
}

bool way_desk_take(WayDesk* desk, WayTray* tray) {
  bool taken = false;
  if (!atomic_load_explicit(&tray->spent, memory_order_acquire)) {
    WayChartInUse* const c =
        atomic_exchange_explicit(&tray->fresh, NULL, memory_order_acquire);
    if (c && is_late(desk, c)) {
      tray->sweep_due = true;
      atomic_store_explicit(&tray->spent, c, memory_order_release);
    } else if (c) {
      tray->sweep_due = tray->live != NULL;
      atomic_store_explicit(&tray->spent, tray->live, memory_order_release);
      tray->live = c;
      if (tray == &desk->chart && !c->answered) desk->message[0] = 0;
      if (tray == &desk->learned) atomic_store(&desk->forgotten, false);
      desk->news = taken = true;
    }
  }
  ask_sweep(desk, tray);
  return taken;
}

/// Make a chart of the form that came by the inbox.
static LV2_Worker_Status make_form(WayDesk* desk, const char* bytes, uint32_t size) {
  uint32_t number = 0;
  WayForm form;
  if (size != sizeof(number) + sizeof(form)) return LV2_WORKER_ERR_UNKNOWN;
  memcpy(&number, bytes, sizeof(number));
  memcpy(&form, bytes + sizeof(number), sizeof(form));
  char* const text = malloc(WAY_FORM_TEXT_MAX);
  if (!text) return LV2_WORKER_ERR_NO_SPACE;
  WayOut out = way_out(text, WAY_FORM_TEXT_MAX);
  way_form_write(&form, &out);
  WayChartInUse* c = NULL;
  WayError error;
  if (chart_new(way_text(text), "", &c, &error)) {
    lv2_log_error(desk->logger, "Waymark: form learned: %s\n", error.message);
  } else {
    c->number = number;
    c->origin = form.origin;
    if (is_late(desk, c))
      chart_free(c);
    else
      publish(desk, &desk->learned, c);
  }
  free(text);
  return LV2_WORKER_SUCCESS;
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
  if (job.kind == WAY_JOB_FORM) {
    const LV2_Worker_Status made = make_form(desk, bytes, job.size);
    free(bytes);
    return made;
  }
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
