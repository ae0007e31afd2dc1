// Chords that a MIDI file brings along, as names or as notes, made into a chart.
#ifndef WAY_TAKE_HEARD_H
#define WAY_TAKE_HEARD_H

#include "chart/chart.h"
#include "take/take.h"

#include <stdio.h>

/// A chord and where it begins.
typedef struct {
  WayTick tick; ///< Ticks of music from the start of the file
  WayChord chord;
} WayTimedChord;

/// Chords in rising order.
typedef struct {
  uint32_t n;
  WayTimedChord* chords; ///< To be freed with free()
} WayHeard;

/// Longest chart made of heard chords, in bars.
#define WAY_HEARD_BARS_MAX 100000u

/// Longest form learned, in bars.
#define WAY_HEARD_FORM_MAX 256u

/**
   Read the chord names among a file's Marker events; if it has none there, among its
   Text events; else among its Lyrics.  Text that is no chord symbol is passed over.

   @param smf   Sorted, as read.
   @param out   Left untouched on error.
   @param error Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_RANGE (no chord names) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_heard_names(const WaySmf* smf, WayHeard* out, WayError* error);
/**
   Hear the chords of a track, as the live guide hears them: keys struck within half a
   sixteenth note of each other belong together.

   @param smf    Sorted, as read.
   @param choice The track.
   @param out    Left untouched on error.
   @param error  Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_RANGE (no such track, no notes, no chords) or
   #WAY_ERR_NO_MEMORY.
*/
WayStatus way_heard_track(const WaySmf* smf, const WayTakeChoice* choice, WayHeard* out,
                          WayError* error);
/**
   Find a file's chords: in the first track called Chords, else the first one named like
   a chord track, that has chords; else among its names.

   @param smf   Sorted, as read.
   @param out   Left untouched on error.
   @param error Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_RANGE (no chords) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_heard_anywhere(const WaySmf* smf, WayHeard* out, WayError* error);
/// Write a chord's symbol; NULL is silence.
void way_heard_put(const WayChord* chord, FILE* to);
/**
   Write heard chords down as a chart.

   Chords go to their nearest beat; of several on one beat the last counts.  Metres are
   the file's.  Before the first chord there is none.

   @param origin Where the chart begins, in ticks of music from the file's start.
   @param learn  Look for a form that comes round: the shortest of at most
                 #WAY_HEARD_FORM_MAX bars after which four of five chords arrive again
                 on their beats.  The chart is then one chorus, with the chord of most
                 choruses on each beat; without such a form, it is as long as the file.
   @param out    Receives a new chart, owned by the caller; left untouched on error.
   @param error  Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_UNSUPPORTED (longer than #WAY_HEARD_BARS_MAX) or what
   way_chart_read() returns.
*/
WayStatus way_heard_chart(const WaySmf* smf, const WayHeard* heard, WayTick origin,
                          bool learn, WayChart** out, WayError* error);

#endif
