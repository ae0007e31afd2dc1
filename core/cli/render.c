#include "cli/render.h"

#include "cli/file.h"
#include "take/smf_write.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

extern char** environ;

/// A folder of our own, and the files in it.
typedef struct {
  char folder[64], midi[80], wav[80];
} Place;

static bool place_make(Place* p) {
  const char* const tmp = getenv("TMPDIR");
  const int n = snprintf(p->folder, sizeof(p->folder), "%s/waymark-XXXXXX",
                         tmp && strlen(tmp) < 40 ? tmp : "/tmp");
  if (n < 0 || !mkdtemp(p->folder)) return false;
  snprintf(p->midi, sizeof(p->midi), "%s/loop.mid", p->folder);
  snprintf(p->wav, sizeof(p->wav), "%s/loop.wav", p->folder);
  return true;
}

static void place_clear(const Place* p) {
  unlink(p->midi);
  unlink(p->wav);
  rmdir(p->folder);
}

static WayExit write_midi(const WaySmf* smf, const char* path) {
  uint8_t* bytes;
  size_t size;
  const WayStatus st = way_smf_write(smf, &bytes, &size);
  if (st) return way_cli_failed(path, "%s", way_strerror(st));
  const WayExit end = way_cli_write(path, bytes, size);
  free(bytes);
  return end;
}

/// Start fluidsynth, quietly; returns 0, or why not as an errno value.
static int start(char* const* argv, pid_t* child) {
  posix_spawn_file_actions_t files;
  int why = posix_spawn_file_actions_init(&files);
  if (why) return why;
  for (int fd = 0; !why && fd <= STDERR_FILENO; ++fd)
    why = posix_spawn_file_actions_addopen(&files, fd, "/dev/null", O_RDWR, 0);
  if (!why) why = posix_spawnp(child, argv[0], &files, NULL, argv, environ);
  posix_spawn_file_actions_destroy(&files);
  return why;
}

static WayExit call(const Place* p, const char* soundfont) {
  char program[] = "fluidsynth", quiet[] = "-qni", rate[] = "-r44100", gain[] = "-g0.6";
  char fast[] = "-F";
  char wav[sizeof(p->wav)], midi[sizeof(p->midi)];
  memcpy(wav, p->wav, sizeof(wav));
  memcpy(midi, p->midi, sizeof(midi));
  char* const font = soundfont ? strdup(soundfont) : NULL;
  if (soundfont && !font) return way_cli_failed(program, "%s", strerror(ENOMEM));
  char* const argv[] = {
      program, quiet, rate, gain, fast, wav, font ? font : midi, font ? midi : NULL,
      NULL};
  pid_t child = 0;
  const int why = start(argv, &child);
  free(font);
  if (why == ENOENT)
    return way_cli_failed(program, "is not installed; without it there is no --audio");
  if (why) return way_cli_failed(program, "%s", strerror(why));
  int status = 0;
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) continue;
  if (!WIFEXITED(status) || WEXITSTATUS(status))
    return way_cli_failed(program, "could not render the loop");
  return WAY_EXIT_OK;
}

/// Whether any sample of a WAV file differs from 0.
static bool sounds(const WayFile* wav) {
  for (size_t i = 44; i < wav->size; ++i)
    if (wav->at[i]) return true;
  return false;
}

static WayExit render(const Place* p, const WaySmf* smf, const char* soundfont,
                      const char* output) {
  WayExit end = write_midi(smf, p->midi);
  if (!end) end = call(p, soundfont);
  WayFile wav;
  if (!end) end = way_cli_read(p->wav, &wav);
  if (end) return end;
  end = sounds(&wav) ? way_cli_write(output, wav.at, wav.size)
                     : way_cli_failed("fluidsynth",
                                      "has no sounds; name a file with --soundfont");
  free(wav.at);
  return end;
}

WayExit way_cli_render(const WaySmf* smf, const char* soundfont, const char* output) {
  Place place;
  if (soundfont && access(soundfont, R_OK))
    return way_cli_failed(soundfont, "%s", strerror(errno));
  if (!place_make(&place))
    return way_cli_failed("temporary folder", "%s", strerror(errno));
  const WayExit end = render(&place, smf, soundfont, output);
  place_clear(&place);
  return end;
}
