// The live guide over a finished take.
#ifndef WAY_TAKE_RUN_H
#define WAY_TAKE_RUN_H

#include "live/engine.h"
#include "take/take.h"

/// Name of the track that the marks go to.
#define WAY_MARKS_TRACK "Waymark"

/// What plays through the guide, and how.
typedef struct {
  WayTakeChoice melody;
  WayTakeChoice chords;     ///< The chord track; neither track nor name: none
  const WayTimeline* chart; ///< Borrowed; NULL for none
  WaySettings settings;
  uint32_t keep_bar; ///< Bar of the take, from 1, as which begins the player keeps what
                     ///< was heard; 0: never
} WayRunChoice;

/// What came of it.  Made by way_run_new(), ended by way_run_free().
typedef struct {
  uint8_t* bytes; ///< A MIDI file of format 1 (or 2): the tracks of the take with the
                  ///< melody as the guide sent it, and a track of marks at the end
  size_t size;    ///< Of that file
  WayTick top;    ///< Where the form begins, in ticks of music from the file's start
  uint32_t n_marks;
  WayMark* marks;     ///< In order of time; roles have their place, too
  WayChord* chords;   ///< Of the marks
  uint32_t notes_in;  ///< Note-ons of the melody track
  uint32_t notes_out; ///< Note-ons that the guide sent
  char* learned;      ///< Chart of the newest form learned; NULL if there is none
} WayRun;

/// Longest take, in ticks of music: a million quarter notes.
#define WAY_RUN_MAX ((WayTick)1000000 * WAY_TICKS_PER_QUARTER)

/**
   Play a take through the live guide, as a host would with its transport rolling.

   What passes keeps its tick; tracks other than the melody keep their bytes.

   @param bytes The file, as read into `smf`.  Borrowed for this call only.
   @param smf   Borrowed for this call only.
   @param out   Receives a new run, owned by the caller; left untouched on error.
   @param error Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_RANGE (no such track, no notes, longer than #WAY_RUN_MAX,
   too many tracks) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_run_new(const uint8_t* bytes, const WaySmf* smf,
                      const WayRunChoice* choice, WayRun** out, WayError* error);
/// Free a run; NULL is fine.
void way_run_free(WayRun* run);

#endif
