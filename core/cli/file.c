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

WayExit way_cli_apart(const char* output, const char* input) {
  struct stat out, in;
  if (!output || !input) return WAY_EXIT_OK;
  if (!strcmp(output, "-") || !strcmp(input, "-")) return WAY_EXIT_OK;
  if (stat(output, &out) || stat(input, &in) || !S_ISREG(out.st_mode))
    return WAY_EXIT_OK;
  if (out.st_dev != in.st_dev || out.st_ino != in.st_ino) return WAY_EXIT_OK;
  return way_cli_failed(output, "is the input; write to another file");
}
