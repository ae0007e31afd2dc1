// Whole files in and out.
#ifndef WAY_CLI_FILE_H
#define WAY_CLI_FILE_H

#include "cli/cli.h"

/// A file read into memory.
typedef struct {
  char* at;    ///< Followed by a zero byte; to be freed with free()
  size_t size; ///< Without that byte; at least 1
} WayFile;

/// Largest file that is read, in bytes.
#define WAY_FILE_MAX ((size_t)256 << 20)

/**
   Read a whole file, or standard input for `-`.

   @param out Owned by the caller; left untouched on error.
   @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message (missing, unreadable, a
   folder, empty, too large).
*/
WayExit way_cli_read(const char* path, WayFile* out);
/// Its content as a borrowed text.
WayText way_cli_text(const WayFile* file);
/**
   Write a whole file, all of it or nothing; `-` is standard output.

   A file that exists keeps its permissions, a symbolic link keeps pointing where it
   does, and a device or pipe is written to directly.
   @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message; an earlier file is then
   as it was.
*/
WayExit way_cli_write(const char* path, const void* bytes, size_t size);
/// Refuse to write `output` over `input`, by whatever name; either may be NULL.
/// @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message.
WayExit way_cli_apart(const char* output, const char* input);

#endif
