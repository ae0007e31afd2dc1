#include "cli/file.h"

#include "take/big.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/// Room to begin reading with: that of the whole file, if it can be told.
static size_t first_room(int fd) {
  struct stat file;
  const bool known = !fstat(fd, &file) && S_ISREG(file.st_mode) && file.st_size > 0 &&
                     (uint64_t)file.st_size < WAY_FILE_MAX;
  return known ? (size_t)file.st_size + 2 : 1 << 16;
}

/// Read all of `fd` into `*out`; returns 0, or why not as an errno value.
static int read_all(int fd, WayFile* out) {
  size_t room = 0, size = 0;
  char* at = NULL;
  for (;;) {
    if (room - size < 2) {
      room = room ? room * 2 : first_room(fd);
      char* const more = way_big_resize(at, room);
      if (!more) break;
      at = more;
    }
    const ssize_t got = read(fd, at + size, room - size - 1);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) break;
    size += (size_t)got;
    if (size > WAY_FILE_MAX) {
      errno = EFBIG;
      break;
    }
    if (got) continue;
    at[size] = '\0';
    *out = (WayFile){at, size};
    return 0;
  }
  const int why = errno;
  free(at);
  return why;
}

WayExit way_cli_read(const char* path, WayFile* out) {
  const bool piped = !strcmp(path, "-");
  const int fd = piped ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
  if (fd < 0) return way_cli_failed(path, "%s", strerror(errno));
  WayFile file = {NULL, 0};
  const int why = read_all(fd, &file);
  if (!piped) close(fd);
  if (why) return way_cli_failed(path, "%s", strerror(why));
  if (!file.size) {
    free(file.at);
    return way_cli_failed(path, "is empty");
  }
  *out = file;
  return WAY_EXIT_OK;
}

WayText way_cli_text(const WayFile* file) { return (WayText){file->at, file->size}; }

/// Write all of it; returns 0, or why not as an errno value.
static int write_all(int fd, const char* at, size_t size) {
  while (size) {
    const ssize_t put = write(fd, at, size);
    if (put < 0 && errno == EINTR) continue;
    if (put < 0) return errno;
    at += put;
    size -= (size_t)put;
  }
  return 0;
}

/// Write straight to standard output, or to a device or pipe.
static int write_through(const char* path, const void* bytes, size_t size) {
  if (!strcmp(path, "-")) {
    fflush(stdout);
    return write_all(STDOUT_FILENO, bytes, size);
  }
  const int fd = open(path, O_WRONLY | O_CLOEXEC);
  if (fd < 0) return errno;
  const int why = write_all(fd, bytes, size);
  return close(fd) && !why ? errno : why;
}

/// Write a new file beside `path` and give it that name; `old` is what stands there
/// now, or NULL.
static int replace(const char* path, const struct stat* old, const void* bytes,
                   size_t size) {
  const size_t room = strlen(path) + 32;
  char* const beside = malloc(room);
  if (!beside) return errno;
  snprintf(beside, room, "%s.%ld.part", path, (long)getpid());
  int why = 0;
  const int fd = open(beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  if (fd < 0) {
    why = errno;
  } else {
    why = write_all(fd, bytes, size);
    if (!why && old && fchmod(fd, old->st_mode & 07777)) why = errno;
    if (!why && fsync(fd)) why = errno;
    if (close(fd) && !why) why = errno;
    if (!why && rename(beside, path)) why = errno;
    if (why) unlink(beside);
  }
  free(beside);
  return why;
}

static int write_file(const char* path, const void* bytes, size_t size) {
  struct stat old;
  if (!strcmp(path, "-")) return write_through(path, bytes, size);
  const bool exists = !stat(path, &old);
  if (exists && S_ISDIR(old.st_mode)) return EISDIR;
  if (exists && !S_ISREG(old.st_mode)) return write_through(path, bytes, size);
  if (!exists) return replace(path, NULL, bytes, size);
  if (access(path, W_OK)) return errno;
  char* const real = realpath(path, NULL); // behind a symbolic link
  if (!real) return errno;
  const int why = replace(real, &old, bytes, size);
  free(real);
  return why;
}

WayExit way_cli_write(const char* path, const void* bytes, size_t size) {
  // A signal in between would leave half a file behind.
  sigset_t ending, before;
  sigemptyset(&ending);
  sigaddset(&ending, SIGINT);
  sigaddset(&ending, SIGTERM);
  sigaddset(&ending, SIGHUP);
  sigprocmask(SIG_BLOCK, &ending, &before);
  const int why = write_file(path, bytes, size);
  sigprocmask(SIG_SETMASK, &before, NULL);
  if (!why) return WAY_EXIT_OK;
  return way_cli_failed(strcmp(path, "-") ? path : "standard output", "%s",
                        strerror(why));
}

/// Split a path into its folder, as it really is called (to be freed with free(); NULL
/// if there is none), and the name in it.
static char* folder_of(const char* path, const char** name) {
  const char* const slash = strrchr(path, '/');
  *name = slash ? slash + 1 : path;
  char* const given = slash ? strndup(path, (size_t)(slash + 1 - path)) : strdup(".");
  char* const real = given ? realpath(given, NULL) : NULL;
  free(given);
  return real;
}

/// Whether two files that are not there yet would be one.
static bool same_name(const char* a, const char* b) {
  const char *name_a, *name_b;
  char* const folder_a = folder_of(a, &name_a);
  char* const folder_b = folder_of(b, &name_b);
  const bool same = folder_a && folder_b && !strcmp(folder_a, folder_b);
  free(folder_a);
  free(folder_b);
  return same && !strcmp(name_a, name_b);
}

bool way_cli_same_file(const char* a, const char* b) {
  struct stat at_a, at_b;
  if (!strcmp(a, "-") || !strcmp(b, "-")) return false;
  const bool there_a = !stat(a, &at_a), there_b = !stat(b, &at_b);
  if (there_a != there_b) return false;
  if (!there_a) return same_name(a, b);
  return S_ISREG(at_a.st_mode) && at_a.st_dev == at_b.st_dev &&
         at_a.st_ino == at_b.st_ino;
}

WayExit way_cli_apart(const char* output, const char* input) {
  if (!output || !input || !way_cli_same_file(output, input)) return WAY_EXIT_OK;
  return way_cli_failed(output, "is the input; write to another file");
}

/// Where an option writes to; NULL if it is not given.
static const char* written_to(const WayArgs* args, unsigned option) {
  const bool is_switch = !args->command->options[option].value;
  return args->value[option] && is_switch ? "-" : args->value[option];
}

/// See that two outputs do not go to the same place.
static WayExit outputs_apart(const WayArgs* args, unsigned a, unsigned b) {
  const char *const to_a = written_to(args, a), *const to_b = written_to(args, b);
  if (!to_a || !to_b) return WAY_EXIT_OK;
  const bool piped = !strcmp(to_a, "-") && !strcmp(to_b, "-");
  if (!piped && !way_cli_same_file(to_a, to_b)) return WAY_EXIT_OK;
  return way_cli_usage(args, "--%s and --%s both write to %s",
                       args->command->options[a].name, args->command->options[b].name,
                       piped ? "standard output" : to_a);
}

WayExit way_cli_files_apart(const WayArgs* args, const unsigned* outputs, size_t n,
                            const char* const* inputs, size_t n_inputs) {
  WayExit end = WAY_EXIT_OK;
  unsigned piped = 0;
  for (size_t i = 0; i < n_inputs; ++i) piped += inputs[i] && !strcmp(inputs[i], "-");
  if (piped > 1) return way_cli_usage(args, "only one input can be standard input");
  for (size_t i = 0; !end && i < n; ++i)
    for (size_t k = 0; !end && k < i; ++k)
      end = outputs_apart(args, outputs[k], outputs[i]);
  for (size_t i = 0; !end && i < n; ++i)
    for (size_t k = 0; !end && k < n_inputs; ++k)
      end = way_cli_apart(written_to(args, outputs[i]), inputs[k]);
  return end;
}
