// Sounding notes as people type them: MIDI numbers and note names.
#ifndef WAY_THEORY_NOTE_LIST_H
#define WAY_THEORY_NOTE_LIST_H

#include "theory/spelling.h"

/// What a list of notes amounts to.
typedef struct {
  WayPcSet set;            ///< Pitch classes that sound
  WayPc bass;              ///< Pitch class of the lowest note
  WaySpelling written[12]; ///< How each pitch class was written, the last time; letter
                           ///< -1 if only as a number or not at all
} WayNoteList;

/**
   Read notes separated by blanks or commas.

   A note is a MIDI number 0..127, or a name with or without its octave (C4 is number
   60).  A name without octave is the next such note above the one before it, so the
   first name is the bass of a list without octaves.

   @param text  Borrowed, UTF-8.
   @param out   Left untouched on error.
   @param error Receives column and expectation; may be NULL.
   @return #WAY_OK, #WAY_ERR_SYNTAX, or #WAY_ERR_RANGE for a note beyond 0..127.
   @par Real-time safe: time linear in the text.
*/
WAY_RT WayStatus way_note_list_read(WayText text, WayNoteList* out, WayError* error);

#endif
