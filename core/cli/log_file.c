#include "cli/log_file.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

/// The user's own log; false if it has no place to be.
static bool default_path(char* path) {
  const char* const data = getenv("XDG_DATA_HOME");
  const char* const home = getenv("HOME");
  int n = -1;
  if (data && *data == '/') // a relative one is to be passed over
    n = snprintf(path, WAY_LOG_PATH_MAX, "%s/waymark/log.db", data);
  else if (home && *home)
    n = snprintf(path, WAY_LOG_PATH_MAX, "%s/.local/share/waymark/log.db", home);
  return n > 0 && (unsigned)n < WAY_LOG_PATH_MAX;
}

/// Make the folders that lead to a file; returns 0, or why not as an errno value.
static int make_folders(char* path) {
  for (char* slash = strchr(path + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
    *slash = '\0';
    const int why = mkdir(path, 0700) && errno != EEXIST ? errno : 0;
    *slash = '/';
    if (why) return why;
  }
  return 0;
}

WayExit way_cli_log(const char* path, WayLogAccess access, WayLog** out, char* where) {
  if (path) {
    const int n = snprintf(where, WAY_LOG_PATH_MAX, "%s", path);
    if (!*path || (unsigned)n >= WAY_LOG_PATH_MAX)
      return way_cli_failed("practice log", "%s",
                            strerror(*path ? ENAMETOOLONG : ENOENT));
  } else if (!default_path(where)) {
    return way_cli_failed("practice log", "no place for it: name it with --db FILE");
  }
  if (access == WAY_LOG_WRITE && !path) {
    const int why = make_folders(where);
    if (why) return way_cli_failed(where, "%s", strerror(why));
  }
  struct stat file;
  if (access == WAY_LOG_READ && stat(where, &file)) {
    if (errno != ENOENT) return way_cli_failed(where, "%s", strerror(errno));
    return way_cli_failed(where,
                          "no practice log yet; 'waymark review --log' begins one");
  }
  WayError error = {.status = WAY_OK};
  if (way_log_open(where, access, out, &error))
    return way_cli_failed(where, "%s", error.message);
  return WAY_EXIT_OK;
}

WayDay way_cli_day(const char* path) {
  struct stat file;
  const bool known = strcmp(path, "-") && !stat(path, &file);
  const time_t when = known ? file.st_mtime : time(NULL);
  struct tm local;
  WayDay day;
  if (!localtime_r(&when, &local) ||
      !strftime(day.text, sizeof(day.text), "%Y-%m-%d", &local))
    day = (WayDay){"1970-01-01"};
  return day;
}
