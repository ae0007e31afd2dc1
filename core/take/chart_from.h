// A chart written down from a MIDI file: the chords heard in it, and its form.
#ifndef WAY_TAKE_CHART_FROM_H
#define WAY_TAKE_CHART_FROM_H

#include "take/heard.h"

/// Longest chart written down, in bars.
#define WAY_CHART_FROM_BARS_MAX 100000u

/**
   Find the chords of a file: the names in it (way_heard_names()); if it has none, the
   notes of the first track named like chords, else of the first track that chords are
   heard in (drums left out).

   @param out   Left untouched on error.
   @param error Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_RANGE (no chords) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_chart_from_heard(const WaySmf* smf, WayHeard* out, WayError* error);
/**
   Write heard chords down as a chart that lasts as long as the file.

   Where all chords of a bar stand exactly on an even division of it they are written
   so; else they go to their nearest beat, and of several on one beat the last counts.
   Before the first chord there is none.  Bars that repeat the one before are `%`
   (way_chart_abbreviate()).  Metres are the file's.

   So is the rest: the tempo where the chart begins; title,
   if the first track has a name and no notes; keys, from the Text events `key: D
   dorian`, else from its key signatures (a lone one of C major says nothing); sections,
   from Marker events that are no chord symbols, at their nearest bar; planned targets,
   from the Text events `target: b3`.  Sections that return with the same bars are
   written once.  Markers `top chorus 1` and `top chorus 2`, as way_backing_new() makes
   them, bound the chart.

   @param origin Where the chart begins, in ticks of music from the file's start.
   @param out    Receives a new chart, owned by the caller; left untouched on error.
   @param error  Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_UNSUPPORTED (longer than #WAY_CHART_FROM_BARS_MAX) or what
   way_chart_read() returns.
*/
WayStatus way_chart_from(const WaySmf* smf, const WayHeard* heard, WayTick origin,
                         WayChart** out, WayError* error);

#endif
