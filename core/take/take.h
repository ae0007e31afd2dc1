// A recorded performance as notes.
#ifndef WAY_TAKE_TAKE_H
#define WAY_TAKE_TAKE_H

#include "take/smf.h"
#include "time/beat.h"

/// One note.
typedef struct {
  WayTick start;  ///< Ticks of music (not of the file) from the start of the file
  WayTick length; ///< 0 or more
  uint8_t pitch;  ///< As sounded, bends included, nearest semitone
  uint8_t key;    ///< As written in the file
  uint8_t velocity;
  uint8_t channel; ///< 0..15
  uint16_t track;
} WayNote;

/// Which notes to take.
typedef struct {
  int track;        ///< Index from 0, or -1 for the first track with notes that is not
                    ///< named like a chord track
  const char* name; ///< A track's name instead; NULL for none
  int channel;      ///< 1..16, or 0 for all
} WayTakeChoice;

/// A take.
typedef struct {
  uint32_t n;
  WayNote* notes;   ///< By start, then pitch
  uint16_t track;   ///< The track chosen
  uint32_t orphans; ///< Note-offs without a note, left out
  uint32_t unended; ///< Notes ended by the end of their track
} WayTake;

/**
   Collect the notes of a file.

   @param out   Receives a new take, owned by the caller; left untouched on error.
   @return #WAY_OK, #WAY_ERR_RANGE (no such track, or no notes in it) or
   #WAY_ERR_NO_MEMORY.
*/
WayStatus way_take_new(const WaySmf* smf, const WayTakeChoice* choice, WayTake** out,
                       WayError* error);
/// Free a take; NULL is fine.
void way_take_free(WayTake* take);

#endif
