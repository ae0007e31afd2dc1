// Where the practice log is, and opening it.
#ifndef WAY_CLI_LOG_FILE_H
#define WAY_CLI_LOG_FILE_H

#include "cli/cli.h"
#include "take/log.h"

/// Room for the path of the log, with its terminator.
#define WAY_LOG_PATH_MAX 4096u

/**
   Open the practice log.

   @param path   As given by the user; NULL for `waymark/log.db` in the user's data
                 folder ($XDG_DATA_HOME, else ~/.local/share; XDG Base Directory
                 Specification), whose folders are made if the log is to be written.
   @param access How to open it.
   @param out    To be ended by way_log_close(); left untouched on error.
   @param where  Receives the path, for messages; room for #WAY_LOG_PATH_MAX bytes.
   @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message.
*/
WayExit way_cli_log(const char* path, WayLogAccess access, WayLog** out, char* where);
/// The day of a file's last change, in local time; today for `-`.
WayDay way_cli_day(const char* path);

#endif
