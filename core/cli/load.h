// Charts and takes, read from files.
#ifndef WAY_CLI_LOAD_H
#define WAY_CLI_LOAD_H

#include "chart/chart.h"
#include "cli/file.h"
#include "take/take.h"

/**
   Read a chart from a file, or standard input for `-`.

   @param out Owned by the caller; left untouched on error.
   @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message with line and column.
*/
WayExit way_cli_chart(const char* path, WayChart** out);
/// The same, unrolled; to be freed with way_timeline_free().
WayExit way_cli_timeline(const char* path, WayTimeline** out);

/// A MIDI file.
typedef struct {
  WayFile file; ///< Its bytes
  WaySmf* smf;
} WayMidiFile;

/**
   Read a MIDI file, or standard input for `-`.

   @param out To be freed with way_cli_free_midi(); left untouched on error.
   @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message with the byte.
*/
WayExit way_cli_midi(const char* path, WayMidiFile* out);
/// Give back both.
void way_cli_free_midi(WayMidiFile* midi);

/**
   Where a bar of a MIDI file begins, as way_bars_start().

   @param out Left untouched on error.
   @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message (the file ends before it).
*/
WayExit way_cli_start(const char* path, const WaySmf* smf, int bar, WayMetre metre,
                      WayTick* out);

/// Read an option's value as a track: an index from 0, else a name.  `out` is left
/// untouched if the option was not given.
void way_cli_track(const WayArgs* args, unsigned option, WayTakeChoice* out);

#endif
