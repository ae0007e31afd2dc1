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
/// Whether two names are those of one file, that there may be yet; `-` is no file.
bool way_cli_same_file(const char* a, const char* b);
/**
   See, before anything is written, that a command's files do not get into each other's
   way: no two outputs go to the same place, none over an input, and standard input is
   read once.

   @param outputs Options that name a file to write (`-` for standard output); a switch,
                  such as `--json`, stands for standard output.
   @param inputs  Names of files that are read; NULL for none.
   @return #WAY_EXIT_OK, #WAY_EXIT_USAGE or, for an output that is an input,
   #WAY_EXIT_FAILED; then after a message.
*/
WayExit way_cli_files_apart(const WayArgs* args, const unsigned* outputs, size_t n,
                            const char* const* inputs, size_t n_inputs);

#endif
