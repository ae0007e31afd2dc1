// A recorded performance as notes.
#ifndef WAY_TAKE_TAKE_H
#define WAY_TAKE_TAKE_H

#include "take/smf.h"

/// One note.
typedef struct {
  WayTick start;    ///< Ticks of music (not of the file) from the start of the file
  WayTick length;   ///< 0 or more
  uint8_t pitch;    ///< As sounded: the key, and the bend that is held longest while it
                    ///< sounds, to the nearest semitone
  uint8_t key;      ///< As written in the file
  uint8_t velocity; ///< 1..127
  uint8_t channel;  ///< 0..15
  uint32_t on;      ///< Its note-on: an index into the events of its track
  uint32_t off;     ///< Its note-off, likewise; or #WAY_NO_EVENT if it has none
} WayNote;

/// In place of an event's index: there is none.
#define WAY_NO_EVENT UINT32_MAX

/// Which notes to take.
typedef struct {
  int track;        ///< Index from 0, or -1 to go by name or find one
  const char* name; ///< A track's name, letter case aside; NULL: the first track with
                    ///< notes that is neither named like a chord track nor drums
  int channel;      ///< 1..16, or 0 for all
} WayTakeChoice;

/// A take.
typedef struct {
  uint32_t n;
  WayNote* notes;   ///< By start, then pitch
  uint32_t track;   ///< The track chosen
  uint32_t orphans; ///< Note-offs without a note, left out
  uint32_t unended; ///< Notes ended by the end of their track
  double tempo;     ///< Quarter notes per minute, on average over its notes; 0: unknown
} WayTake;

/**
   The track a choice means.

   @param out Receives its index; left untouched on error.
   @param error Receives a message, without a place; may be NULL.
   @return #WAY_OK or #WAY_ERR_RANGE (no such track, or no notes in it).
*/
WayStatus way_take_track(const WaySmf* smf, const WayTakeChoice* choice, uint32_t* out,
                         WayError* error);
/**
   Collect the notes of a file.

   Notes of one key that overlap on one channel end in the order they began.  A note-on
   of velocity 0 is a note-off; All Sound Off and All Notes Off end a channel's notes.
   The range of bends follows registered parameter 0, and is 2 semitones until then.
   Registered parameter 6 on channel 1 or 16 makes a zone (MPE): members bend by 48
   semitones until told otherwise, share their range, and add the bends of that channel.

   @param smf Sorted, as read (else after way_smf_sort()).
   @param out Receives a new take, owned by the caller; left untouched on error.
   @param error Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_RANGE (no such track, or no notes in it) or
   #WAY_ERR_NO_MEMORY.  Time and memory are linear, up to the sorting of chords.
*/
WayStatus way_take_new(const WaySmf* smf, const WayTakeChoice* choice, WayTake** out,
                       WayError* error);
/// Free a take; NULL is fine.
void way_take_free(WayTake* take);
/// Whether a name says that a track holds chords rather than a melody.
bool way_take_named_like_chords(WayText name);

#endif
